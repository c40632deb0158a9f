import type { MoveFigures } from "#documents/room-light-result";
import { along, dot, minus, unit, type Vector3 } from "#science/geometry/vector3";
import { peakSpeedShare } from "#science/motion/easing";
import { fewestKeyframes, type HeadPose, type HeldPose, steadyPose } from "#science/motion/keyframes";
import { fewestSmoothKeyframes, smoothPose } from "#science/motion/smooth-keyframes";
import { type PinHole, pinHole, placeInFrame } from "#science/optics/pin-hole";
import { readoutLeanPixels } from "#science/optics/readout";
import { type CameraPose, heldMetres, type Posing, posingOf } from "./move-pose.ts";
import type { Scene, SceneSlide } from "./scene.ts";
import { firstHit } from "./scene-rays.ts";
import { heardLevel, roomSound } from "./sound-figures.ts";

/** A point held within a pixel is still: the keyframes are sought for a little less, since between samples it wanders too. */
const stillPixels = 0.98;
/** Samples over which keyframes are sought, and over which the residual is told. */
const [soughtSamples, fineSamples, toldSamples] = [41, 121, 161];
/** More keyframes than this are sought again on the finer grid. */
const fineFrom = 6;
/** The lens stands this far over the rail, and the rail reaches this far past the carriage. Common practice. */
const [lensOverRail, railPast] = [0.15, 0.12];

/** Every move of a plan. */
export function moveFigures(scene: Scene): MoveFigures[] {
  return scene.slides.map((slide) => oneMove(scene, slide));
}

interface Seen {
  readonly pose: CameraPose;
  readonly hole: PinHole;
}

function oneMove(scene: Scene, slide: SceneSlide): MoveFigures {
  const { said, camera, metres } = slide;
  const posing = posingOf(scene, slide);
  const [width, height] = camera.pixels;
  // A point beside or behind the lens is out of every frame: as far off as is worth telling.
  const tenFrames = 10 * Math.hypot(width, height);
  const holeOf = (pose: { point: Vector3; pan: number; tilt: number }): PinHole =>
    pinHole(pose.point, pose.pan, pose.tilt, camera.tanHalfWidth, camera.tanHalfHeight);
  const offBy = (point: Vector3, pan: number, tilt: number): number => {
    const place = placeInFrame(holeOf({ point, pan, tilt }), posing.target);
    return place
      ? Math.hypot((place.x - posing.place.x) * width, (place.y - posing.place.y) * height)
      : tenFrames;
  };
  const timed = (count: number): number[] =>
    Array.from({ length: count }, (_, i) => (said.seconds * i) / (count - 1));
  const told: Seen[] = timed(toldSamples).map((t) => {
    const pose = posing.at(t);
    return { pose, hole: holeOf(pose) };
  });
  const keyframes = knownKeyframes(slide, posing, () => keyframesOf(slide, posing, told, offBy));
  let [worst, sum, without] = [0, 0, 0];
  const start = told[0]!.pose;
  for (const { pose } of told) {
    const typed = typedPose(said.head, keyframes, pose.t);
    const off = offBy(pose.point, typed.pan, typed.tilt);
    worst = Math.max(worst, off);
    sum += off;
    without = Math.max(without, offBy(pose.point, start.pan, start.tilt));
  }
  const pans = told.map(({ pose }) => pose.pan);
  const tilts = told.map(({ pose }) => pose.tilt);
  const step = said.seconds / (toldSamples - 1);
  const fastestOf = (values: readonly number[]): number =>
    values.reduce((most, v, i) => (i === 0 ? most : Math.max(most, Math.abs(v - values[i - 1]!) / step)), 0);
  const spread = (values: readonly number[]): number => Math.max(...values) - Math.min(...values);
  const distances = told.map(({ pose }) => heldMetres(posing, pose));
  const depth = (seen: Seen): number => dot(minus(posing.target, seen.pose.point), seen.hole.forward);
  return {
    id: slide.id,
    camera: camera.id,
    seconds: said.seconds,
    metres,
    ease: said.ease,
    head: said.head,
    tilts: said.tilts,
    returns: said.returns,
    hold: posing.place,
    keyframes: keyframes.map(({ t, pan, tilt }) => ({ t, along: posing.at(t).along, pan, tilt })),
    exact: timed(soughtSamples).map((t) => {
      const { along: way, pan, tilt } = posing.at(t);
      return { t, along: way, pan, tilt };
    }),
    residual: { worst, mean: sum / toldSamples },
    residualWithoutHead: without,
    panDegrees: spread(pans),
    tiltDegrees: spread(tilts),
    fastest: {
      metresPerSecond: (metres / said.seconds) * peakSpeedShare(said.ease),
      panPerSecond: fastestOf(pans),
      tiltPerSecond: fastestOf(tilts),
    },
    background: backgroundDrift(scene, slide, told),
    growth: depth(told[0]!) / Math.max(0.01, depth(told.at(-1)!)),
    focus: { nearest: Math.min(...distances), farthest: Math.max(...distances) },
    line: lineOf(scene, told),
    seesOwn: ownInFrame(scene, slide, told),
    turnsAfter: said.returns ? said.seconds : null,
    noise: noiseOf(scene, slide),
    limits: limitsOf(slide),
  };
}

function limitsOf({ camera, slider }: SceneSlide): MoveFigures["limits"] {
  const [body, lens] = [camera.body.weightKg, camera.lens.weightKg];
  return {
    travel: slider?.travel ?? null,
    speed: slider?.fastest ?? null,
    loadKg: slider?.loadKg ?? null,
    weightKg: body === undefined || lens === undefined ? null : body + lens,
  };
}

/** Where the head points between the keyframes typed into it. */
const typedPose = (head: string, keys: readonly HeadPose[], t: number): { pan: number; tilt: number } =>
  head === "eased" ? smoothPose(keys, t) : steadyPose(keys, t);

/** Keyframes found last, by all that they depend on: a drag of a lamp does not seek them again. */
const known = new Map<string, HeadPose[]>();
const mostKnown = 16;

function knownKeyframes(slide: SceneSlide, posing: Posing, seek: () => HeadPose[]): HeadPose[] {
  const { said, camera } = slide;
  const { tanHalfWidth, tanHalfHeight, pixels } = camera;
  const key = JSON.stringify([said, posing.target, posing.place, tanHalfWidth, tanHalfHeight, pixels]);
  let keys = known.get(key);
  if (!keys) {
    keys = seek();
    if (known.size >= mostKnown) known.clear();
    known.set(key, keys);
  }
  return keys;
}

/** The fewest keyframes that hold the point within a pixel between the samples as well as on them. */
function keyframesOf(
  slide: SceneSlide,
  posing: Posing,
  told: readonly Seen[],
  offBy: (point: Vector3, pan: number, tilt: number) => number,
): HeadPose[] {
  const { said, camera } = slide;
  const first = told[0]!.pose;
  if (said.head === "none") return [{ t: 0, pan: first.pan, tilt: first.tilt }];
  const [width, height] = camera.pixels;
  const posesOf = (samples: number): HeldPose[] =>
    Array.from({ length: samples }, (_, i) => {
      const pose = posing.at((said.seconds * i) / (samples - 1));
      const shift = (pan: number, tilt: number): number => {
        const place = placeInFrame(
          pinHole(pose.point, pose.pan + pan, pose.tilt + tilt, camera.tanHalfWidth, camera.tanHalfHeight),
          posing.target,
        );
        const here = placeInFrame(
          pinHole(pose.point, pose.pan, pose.tilt, camera.tanHalfWidth, camera.tanHalfHeight),
          posing.target,
        );
        return place && here ? Math.hypot((place.x - here.x) * width, (place.y - here.y) * height) * 100 : 0;
      };
      return {
        t: pose.t,
        pan: pose.pan,
        tilt: pose.tilt,
        pixelsPerPan: shift(0.01, 0),
        pixelsPerTilt: said.tilts ? shift(0, 0.01) : 0,
      };
    });
  // What the exact pose itself leaves (a head that does not tilt) is not the keyframes' to mend.
  const left = Math.max(...told.map(({ pose }) => offBy(pose.point, pose.pan, pose.tilt)));
  let poses = posesOf(soughtSamples);
  const seek = said.head === "eased" ? fewestSmoothKeyframes : fewestKeyframes;
  let keys = seek(poses, stillPixels);
  const isFine = keys.length > fineFrom;
  if (isFine) poses = posesOf(fineSamples);
  for (const tolerance of [stillPixels, 0.94, 0.9, 0.75, 0.5]) {
    if (isFine || tolerance < stillPixels) keys = seek(poses, tolerance);
    const worst = Math.max(
      ...told.map(({ pose }) => {
        const typed = typedPose(said.head, keys, pose.t);
        return offBy(pose.point, typed.pan, typed.tilt);
      }),
    );
    if (worst <= Math.hypot(stillPixels, left)) break;
  }
  return keys;
}

/** How what stands behind the sitter goes across the frame. */
function backgroundDrift(scene: Scene, slide: SceneSlide, told: readonly Seen[]): MoveFigures["background"] {
  const { camera, said } = slide;
  const middle = told[Math.floor(told.length / 2)]!;
  const way = unit(minus(scene.sitter.eyes, middle.pose.point));
  const hit = firstHit(scene, along(scene.sitter.head, way, 0.15), way);
  // Nothing is met in a room that is open there: then what is far away.
  const at = hit?.at ?? along(middle.pose.point, way, 1000);
  const [width, height] = camera.pixels;
  const places = told.map(({ hole }) => placeInFrame(hole, at));
  const apart = (i: number, j: number): number => {
    const [a, b] = [places[i], places[j]];
    return a && b ? Math.hypot((a.x - b.x) * width, (a.y - b.y) * height) : 0;
  };
  const step = said.seconds / (told.length - 1);
  let fastest = 0;
  for (let i = 1; i < places.length; i++) fastest = Math.max(fastest, apart(i - 1, i) / step);
  const angle = (seen: Seen): number => {
    const to = minus(at, seen.pose.point);
    const held = minus(scene.sitter.eyes, seen.pose.point);
    return Math.atan2(to[0] * held[1] - to[1] * held[0], to[0] * held[0] + to[1] * held[1]);
  };
  const frame = 1 / camera.said.frameRate;
  return {
    metres: hit ? Math.hypot(...minus(at, middle.pose.point)) : null,
    pixels: apart(0, places.length - 1),
    degrees: (Math.abs(angle(told.at(-1)!) - angle(told[0]!)) * 180) / Math.PI,
    pixelsPerSecond: fastest,
    pixelsPerFrame: fastest * frame,
    secondsAcross: fastest > 0.01 ? width / fastest : null,
    smearPixels: (fastest * frame * camera.said.shutterAngle) / 360,
    leanPixels:
      camera.body.readoutMilliseconds === undefined
        ? null
        : readoutLeanPixels(fastest, camera.body.readoutMilliseconds),
  };
}

/** On which side of the line through the two the lens stays, and how near it comes. */
function lineOf(scene: Scene, told: readonly Seen[]): MoveFigures["line"] {
  const [s, i] = [scene.sitter.head, scene.interviewer.head];
  const length = Math.max(1e-6, Math.hypot(i[0] - s[0], i[1] - s[1]));
  const sides = told.map(
    ({ pose }) => ((i[0] - s[0]) * (pose.point[1] - s[1]) - (i[1] - s[1]) * (pose.point[0] - s[0])) / length,
  );
  return {
    crossed: sides.some((side) => side > 0) && sides.some((side) => side < 0),
    closestMetres: Math.min(...sides.map(Math.abs)),
  };
}

/** Its own rail's ends and its stands where they come into its frame. */
function ownInFrame(scene: Scene, slide: SceneSlide, told: readonly Seen[]): MoveFigures["seesOwn"] {
  const rail = unit(minus(slide.to, slide.from));
  const under = (p: Vector3): Vector3 => [p[0], p[1], p[2] - lensOverRail];
  const parts: { what: string; points: Vector3[] }[] = [
    {
      what: "rail",
      points: [under(along(slide.from, rail, -railPast)), under(along(slide.to, rail, railPast))],
    },
  ];
  for (const stand of scene.stands) {
    if (stand.holds !== slide.camera.id) continue;
    const points: Vector3[] = [0.25, 0.5, 0.75, 1].map((share) => [
      stand.at[0],
      stand.at[1],
      Math.max(0, stand.top - lensOverRail) * share,
    ]);
    for (let leg = 0; leg < 6; leg++)
      points.push([
        stand.at[0] + stand.footprint * Math.sin((leg * Math.PI) / 3),
        stand.at[1] + stand.footprint * Math.cos((leg * Math.PI) / 3),
        0,
      ]);
    parts.push({ what: "stand", points });
  }
  return parts.flatMap(({ what, points }) => {
    const times = told
      .filter(({ hole }) =>
        points.some((at) => {
          const place = placeInFrame(hole, at);
          return place && place.depth > 0.05 && place.x > 0 && place.x < 1 && place.y > 0 && place.y < 1;
        }),
      )
      .map(({ pose }) => pose.t);
    return times.length > 0 ? [{ what, from: times[0]!, to: times.at(-1)! }] : [];
  });
}

function noiseOf(scene: Scene, slide: SceneSlide): MoveFigures["noise"] {
  const noise = slide.slider?.noise;
  if (noise === undefined) return [];
  const roomConstant = roomSound(scene).constants[3]!;
  const at = along(slide.from, minus(slide.to, slide.from), 0.5);
  return scene.microphones.map((m) => ({
    microphone: m.id,
    db: heardLevel(m, at, noise, roomConstant),
  }));
}
