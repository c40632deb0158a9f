import type { Lens, Plan, ShotSize } from "#documents/plan";
import { directionOf, headingOf, radiansOf } from "#science/geometry/vector3";
import { shotFrame } from "#science/optics/shot-size";
import { bodyHeight, headMetres } from "#science/people/body-points";
import type { Ground } from "./propose-ground.ts";
import { centimetres, type Mover } from "./propose-mover.ts";
import { staysPut } from "./propose-pins.ts";
import { lensRise, shutterFor, stopFor } from "./propose-settings.ts";

/** The lenses that a camera may have: on its stand and its slider not too heavy. */
function lensesFor(plan: Plan, index: number): Lens[] {
  const said = plan.cameras[index]!;
  const { kit } = plan;
  const body = kit.bodies.find((b) => b.id === said.body);
  const stand = kit.stands.find((s) => s.id === said.stand);
  const slide = plan.slides.find((s) => s.camera === said.id);
  const slider = kit.sliders.find((s) => s.id === slide?.slider);
  const bears = Math.min(
    stand?.loadKg ?? Number.POSITIVE_INFINITY,
    slider?.loadKg ?? Number.POSITIVE_INFINITY,
  );
  const fits = kit.lenses.filter(
    (lens) => lens.focal[0] <= lens.focal[1] && (body?.weightKg ?? 0) + (lens.weightKg ?? 0) <= bears,
  );
  const sorted = fits.sort((a, b) => a.focal[0] - b.focal[0] || a.focal[1] - b.focal[1]);
  return sorted.length > 0 ? sorted : kit.lenses.filter((lens) => lens.id === said.lens);
}

/** A prime's shot may be this much looser or tighter than its name asks for. */
const shotRoom = 0.09;

/** A shot that was said of a camera goes before the wishes; `medium` is what a camera has when nothing was said of it. */
const wishedShot = (plan: Plan, camera: Plan["cameras"][number]): ShotSize =>
  camera.shot === "medium" ? (plan.wishes.shots[camera.id] ?? camera.shot) : camera.shot;

/** Moves a camera round the sitter: its turn from the gaze, its lens, and a zoom's focal length or a prime's distance. */
export function cameraMover(ground: Ground, index: number): Mover | null {
  const { plan } = ground;
  const original = plan.cameras[index]!;
  const body = plan.kit.bodies.find((b) => b.id === original.body);
  const lenses = lensesFor(plan, index);
  if (staysPut(plan, original.id) || !body || lenses.length === 0) return null;
  const { stature, seatHeight } = plan.sitter;
  const shot = wishedShot(plan, original);
  const tall = shotFrame(shot, stature, seatHeight).height;
  const eyes = bodyHeight("eyes", stature, seatHeight);
  const shutterAngle = shutterFor(plan, original);
  const firstFree = plan.cameras.findIndex((c) => !staysPut(plan, c.id)) === index;
  return {
    bounds: [firstFree ? [4, 45] : [10, 80], [0, lenses.length - 1e-6], [0, 1]],
    usual: [firstFree ? 17 : 47, Number.NaN, Number.NaN],
    place(x, at, draft, seats) {
      const camera = draft.cameras[index]!;
      const lens = lenses[Math.floor(x[at + 1]!)]!;
      const [shortest, longest] = lens.focal;
      const isZoom = longest > shortest * 1.02;
      const share = x[at + 2]!;
      let focal = shortest;
      let times = 1;
      if (isZoom) focal = Math.round(shortest * (longest / shortest) ** share);
      else times = 1 + shotRoom * (2 * share - 1);
      const away = (tall * times * focal) / body.sensor[1];
      const rise = lensRise(plan, original, eyes, away);
      const level = Math.sqrt(Math.max(0.04, away * away - rise * rise));
      const turn = radiansOf(seats.gaze + seats.side * x[at]!);
      const gaze = radiansOf(seats.gaze);
      camera.at[0] = centimetres(seats.x + Math.sin(gaze) * headMetres.eyesForward + Math.sin(turn) * level);
      camera.at[1] = centimetres(seats.y + Math.cos(gaze) * headMetres.eyesForward + Math.cos(turn) * level);
      camera.lens = lens.id;
      camera.shot = shot;
      if (isZoom) camera.focalLength = focal;
      else delete camera.focalLength;
      camera.height = centimetres(eyes + rise);
      camera.stop = stopFor(plan, body, lens, focal, away, x[at]!);
      camera.shutterAngle = shutterAngle;
      // The light decides: the least sensitive that it is enough for.
      delete camera.iso;
      delete camera.nd;
      delete camera.pan;
      delete camera.tilt;
      delete camera.focus;
    },
  };
}

/** Moves a rail with its camera: how it is turned, and how long it is. */
export function slideMover(ground: Ground, index: number): Mover | null {
  const { plan } = ground;
  const original = plan.slides[index]!;
  const camera = plan.cameras.findIndex((c) => c.id === original.camera);
  if (plan.wishes.pinned.includes(original.id) || camera < 0) return null;
  const slider = plan.kit.sliders.find((s) => s.id === original.slider);
  const way = [0, 1, 2].map((k) => original.to[k]! - original.from[k]!);
  const long = Math.min(slider?.travel ?? Number.POSITIVE_INFINITY, Math.hypot(...way));
  const rises = Math.max(-long * 0.9, Math.min(long * 0.9, way[2]!));
  const eyes = bodyHeight("eyes", plan.sitter.stature, plan.sitter.seatHeight);
  return {
    // The rail lies square to the lens or a little off it, whichever way it began, and keeps half its length at least.
    bounds: [
      [-35, 35],
      [0.5, 1],
    ],
    usual: [0, 0.7],
    place(x, at, draft, seats) {
      const slide = draft.slides[index]!;
      const { at: floor, height: high = eyes } = draft.cameras[camera]!;
      const [cx, cy] = floor;
      const look = headingOf([seats.x - cx, seats.y - cy, 0]);
      const along = directionOf(look + 90 + x[at]!);
      const length = long * x[at + 1]!;
      const level = Math.sqrt(Math.max(0, length * length - (rises * x[at + 1]!) ** 2));
      for (const [end, sign] of [
        [slide.from, -0.5],
        [slide.to, 0.5],
      ] as const) {
        end[0] = centimetres(cx + along[0] * level * sign);
        end[1] = centimetres(cy + along[1] * level * sign);
        end[2] = centimetres(high + rises * x[at + 1]! * sign);
      }
    },
  };
}
