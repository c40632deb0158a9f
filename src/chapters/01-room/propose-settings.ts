import type { Body, Lens, Plan, PlannedCamera } from "#documents/plan";
import { rightStops, type SolvedExposure, shutterSeconds, solveExposure } from "#science/light/exposure";
import { safeShutterAngles } from "#science/light/flicker";
import { nearestDensity } from "#science/light/nd";
import { circleOfConfusionMm, depthOfFieldMm } from "#science/optics/depth-of-field";
import { engravedStops, stopWords } from "#science/optics/stops";
import { headMetres } from "#science/people/body-points";
import type { Look } from "./propose-look.ts";
import { staysPut } from "./propose-pins.ts";
import { type SceneCamera, sceneOf } from "./scene.ts";

/** How far the lens stands over or under the eyes where that is wished for, degrees. Common practice: little enough that nobody sees it. */
const overEyes = 4;
/** Open enough for a sitter who stays put: f/1.8 to f/2. Common practice. */
const openEnough = 2;
/** From here on a picture goes soft by diffraction. Common practice. */
const smallestStop = 16;
/** What must be sharp beside the nearer eye goes this much farther than it has to, metres: nobody sits quite still. */
const spare = 0.01;

/** How far over the sitter's eyes a lens goes, metres: as wished, and as its stand allows. */
export function lensRise(plan: Plan, camera: PlannedCamera, eyes: number, metres: number): number {
  const wish = plan.wishes.eyeLine ?? "level";
  const degrees = wish === "above" ? overEyes : wish === "below" ? -overEyes : 0;
  const wished = eyes + metres * Math.sin((degrees * Math.PI) / 180);
  const stand = plan.kit.stands.find((s) => s.id === camera.stand);
  return (stand ? Math.max(stand.lowest, Math.min(stand.highest, wished)) : wished) - eyes;
}

/** Metres that must be sharp before and behind the nearer eye, for a lens so many degrees off the gaze. */
function sharpAround(depth: NonNullable<Plan["wishes"]["depth"]>, offGaze: number): [number, number] {
  const farEye = headMetres.betweenEyes * Math.abs(Math.sin((offGaze * Math.PI) / 180)) + spare;
  switch (depth) {
    case "shallow":
      return [spare, spare];
    case "eyes":
      return [spare, farEye];
    case "face":
      return [headMetres.noseToEar - headMetres.eyesForward + spare, headMetres.eyesForward + farEye];
    case "leaning":
      return [0.2, 0.3];
  }
}

/**
 * The stop for the wished depth: open enough for a sitter who stays put, then smaller until all is sharp that is to be.
 *
 * @param metres - From the lens to the nearer eye, which it is focused on.
 * @param offGaze - Between the gaze and the lens, degrees.
 */
export function stopFor(
  plan: Plan,
  body: Body,
  lens: Lens,
  focalMm: number,
  metres: number,
  offGaze: number,
): number {
  const [before, behind] = sharpAround(plan.wishes.depth ?? "eyes", offGaze);
  const confusion = circleOfConfusionMm(plan.confusion, body.sensor, body.pixels[0]);
  const focus = Math.max(metres * 1000, lens.closeFocus * 1000, focalMm * 1.05);
  const isDeep = (stop: number): boolean => {
    const { near, far } = depthOfFieldMm(focalMm, stop, confusion, focus);
    return near <= focus - before * 1000 && far >= focus + behind * 1000;
  };
  const widest = Math.max(openEnough, lens.stop);
  if (isDeep(widest)) return widest;
  for (const stop of engravedStops) if (stop > widest && (stop >= smallestStop || isDeep(stop))) return stop;
  return widest;
}

/** The shutter angle nearest to 180° over which mains light does not flicker; what is said where there is none. */
export const shutterFor = ({ mains }: Plan, { frameRate, shutterAngle }: PlannedCamera): number => {
  const [first = shutterAngle, ...more] = safeShutterAngles(frameRate, mains.hertz);
  return more.reduce((best, angle) => (Math.abs(angle - 180) < Math.abs(best - 180) ? angle : best), first);
};

/** The cameras that a search or a hand may set. */
const isFree = (plan: Plan, camera: PlannedCamera): boolean => !staysPut(plan, camera.id);

/**
 * Sets what follows from a camera's place alone, for every one that is not pinned: the lens's height by the eye line, the stop by the
 * depth, the shutter by the mains.
 *
 * @returns A new plan; cameras on a rail keep the rail's height.
 */
export function withPlaceSettings(plan: Plan): Plan {
  const { cameras, sitter } = sceneOf(plan);
  return {
    ...plan,
    cameras: plan.cameras.map((said) => {
      const placed = cameras.find((c) => c.id === said.id);
      if (!placed || !isFree(plan, said)) return said;
      const { body, lens, focalMm, sitterDistance, point } = placed;
      const onRail = plan.slides.some((s) => s.camera === said.id);
      const rise = lensRise(plan, said, sitter.eyes[2], sitterDistance);
      const toLens = Math.atan2(point[0] - sitter.eyes[0], point[1] - sitter.eyes[1]);
      const off = (toLens * 180) / Math.PI - sitter.headHeading;
      return {
        ...said,
        ...(!onRail && { height: Math.round((sitter.eyes[2] + rise) * 100) / 100 }),
        stop: stopFor(plan, body, lens, focalMm, sitterDistance, off),
        shutterAngle: shutterFor(plan, said),
      };
    }),
  };
}

/** A camera's exposure for the light on the lit cheek: what it says stays, else the ISO and ND that come nearest. */
export function exposureFor({ body, lens, said, stop }: SceneCamera, lux: number): SolvedExposure {
  return solveExposure({
    lux: Math.max(0.1, lux),
    tStop: lens.tStop === undefined ? stop : (stop * lens.tStop) / lens.stop,
    seconds: shutterSeconds(said.shutterAngle, said.frameRate),
    iso: said.iso,
    nd: said.nd,
    isos: body.isos,
    nds: body.nd,
  });
}

/** Nobody sees less, stops. Common practice: half of a third. */
const unseen = 1 / 6;

/**
 * Sets ISO and ND by the light, for every camera that is not pinned. Where the least sensitive setting is still too bright, the lamps
 * that are not pinned are dimmed together, so that their ratios stay; what is still wrong then, the stop takes.
 *
 * @param lookAtPlan - How a plan of the same ground looks.
 * @returns A new plan.
 */
export function withExposure(plan: Plan, lookAtPlan: (plan: Plan) => Look): Plan {
  const open: Plan = {
    ...plan,
    cameras: plan.cameras.map((camera) => {
      if (!isFree(plan, camera)) return camera;
      const { iso: _iso, nd: _nd, ...rest } = camera;
      return rest;
    }),
  };
  let look = lookAtPlan(open);
  let lit = look.cheeks().lit;
  let { lights } = plan;
  const over = Math.max(
    0,
    ...look.cameras.map(({ camera }) => (isFree(plan, camera.said) ? exposureFor(camera, lit).off : 0)),
  );
  if (over > unseen) {
    const dimmed = { ...open, lights: dimmedBy(plan, over) };
    const dimmedLook = lookAtPlan(dimmed);
    // Where daylight does the most of it, dimmed lamps would leave it alone: then ND or a blind is told.
    if (offRatio(dimmedLook) <= offRatio(look) + unseen)
      [look, lit, lights] = [dimmedLook, dimmedLook.cheeks().lit, dimmed.lights];
  }
  const cameras = open.cameras.map((said) => {
    const placed = look.cameras.find(({ camera }) => camera.id === said.id);
    if (!placed || !isFree(plan, said)) return said;
    const { iso, nd, off } = exposureFor(placed.camera, lit);
    // No ISO and no ND is left: a right exposure goes before the wished depth.
    const stop = Math.abs(off) > rightStops ? stopNearest(placed.camera, off) : placed.camera.stop;
    return { ...said, stop, iso, nd };
  });
  return { ...open, cameras, lights };
}

/** The engraved stop that takes so many stops of light more (+) or fewer off a camera, as far as its lens goes. */
function stopNearest({ stop, lens }: SceneCamera, off: number): number {
  const wanted = stop * 2 ** (off / 2);
  const near = engravedStops.reduce((best, s) => (Math.abs(s - wanted) < Math.abs(best - wanted) ? s : best));
  return Math.max(lens.stop, Math.min(smallestStop, near));
}

/** How far key to fill is from what was wished, stops. */
function offRatio(look: Look): number {
  const { lit, shadow } = look.cheeks();
  const wished = look.scene.plan.wishes.keyToFill;
  return shadow > 0.01 ? Math.abs(Math.log2(lit / shadow) - wished) : Number.POSITIVE_INFINITY;
}

const dimmedBy = (plan: Plan, stops: number): Plan["lights"] =>
  plan.lights.map((placed) => {
    const light = plan.kit.lights.find((l) => l.id === placed.light);
    const isPartOfRoom = placed.role === "other" && placed.aim !== undefined;
    if (!light || isPartOfRoom || staysPut(plan, placed.id)) return placed;
    // In steps that a lamp's dial shows.
    const dim = Math.max(light.dimsTo, Math.round(placed.dim * 2 ** -stops * 100) / 100);
    return { ...placed, dim: Math.min(placed.dim, dim) };
  });

/** A camera's settings that are other than they were, as they are dialled: "f/2.8, ISO 400, ND 0.6". */
export function settingsWords(now: PlannedCamera, was: PlannedCamera): string[] {
  const said: string[] = [];
  if (now.stop !== undefined && now.stop !== was.stop) said.push(`f/${stopWords(now.stop)}`);
  if (now.iso !== undefined && now.iso !== was.iso) said.push(`ISO ${now.iso}`);
  if (now.nd && now.nd !== was.nd) said.push(`ND ${nearestDensity(now.nd).toFixed(1)}`);
  if (Math.abs(now.shutterAngle - was.shutterAngle) > 0.05)
    said.push(`shutter ${Number(now.shutterAngle.toFixed(1))}°`);
  return said;
}
