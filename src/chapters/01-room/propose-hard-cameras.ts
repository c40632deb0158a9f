import { dot, headingOf, minus, turnBetween, type Vector3 } from "#science/geometry/vector3";
import { shotFrame } from "#science/optics/shot-size";
import { lengthWords } from "#science/units/length-words";
import type { Ground } from "./propose-ground.ts";
import type { Tell } from "./propose-hard-rule.ts";
import type { Scene, SceneCamera } from "./scene.ts";
import { isClear } from "./scene-rays.ts";

/* Common practice. */

/** A camera nearer to the line than this would slip over it, degrees. */
const offLine = 2.5;
/** A frame this many times taller or shorter than the shot's own is still that shot. */
const shotSlack = 1.15;
/** Eyes stay at least this share of the frame from its edges. */
const eyesInside = 0.08;

/** Every place that the cameras have, on their rails too. */
function* lensPlaces(scene: Scene): Iterable<Vector3> {
  for (const camera of scene.cameras) {
    yield camera.point;
    for (const slide of scene.slides)
      if (slide.camera.id === camera.id) {
        yield slide.from;
        yield slide.to;
      }
  }
}

/** Tells of cameras on both sides of the line between the two, or on it. */
export function tellLine(scene: Scene, tell: Tell): void {
  const { sitter, interviewer } = scene;
  const line = headingOf(minus(interviewer.head, sitter.head));
  let [left, right] = [0, 0];
  for (const at of lensPlaces(scene)) {
    const turn = turnBetween(line, headingOf(minus(at, sitter.head)));
    // What it takes to be clearly on the right of the line, and on the left.
    right += Math.max(0, offLine - turn, turn - (180 - offLine)) / 30;
    left += Math.max(0, offLine + turn, -turn - (180 - offLine)) / 30;
  }
  const least = Math.min(left, right);
  if (least > 0)
    tell(
      "line",
      least + 0.1,
      () => "The line between sitter and interviewer runs between the cameras, or through one.",
      "Bring all cameras to one side of the line.",
    );
}

/** Tells what keeps a camera from focus, from its shot, and from the sight of the sitter. */
export function tellCamera(scene: Scene, camera: SceneCamera, tell: Tell): void {
  const { sitter } = scene;
  const { units } = scene.plan;
  const near = camera.lens.closeFocus - camera.sitterDepth;
  if (near > 0)
    tell(
      "close-focus",
      near,
      () =>
        `Camera ${camera.id} is ${lengthWords(camera.sitterDepth, units)} from the sitter; its lens focuses from ${lengthWords(camera.lens.closeFocus, units)} on.`,
      "Take a lens that focuses closer, or a wider shot.",
    );
  const wished = shotFrame(camera.said.shot, sitter.stature, sitter.seatHeight).height;
  const metres = wished / (2 * camera.tanHalfHeight);
  const times = camera.sitterDistance / metres;
  const off = Math.max(times / shotSlack, 1 / (times * shotSlack)) - 1;
  if (off > 0)
    tell(
      "shot-size",
      off,
      () =>
        `Camera ${camera.id} cannot have a ${camera.said.shot} shot: it is ${lengthWords(camera.sitterDistance, units)} from the sitter, and that shot asks for ${lengthWords(metres, units)} with this lens.`,
      "Put another lens in the kit, wish for another shot, or take a pin out.",
    );
  const dx = eyesOff(camera, sitter.eyes);
  if (dx > 0)
    tell(
      "shot-size",
      dx,
      () => `Camera ${camera.id} does not have the sitter's eyes in its frame.`,
      "Leave its pan and tilt unsaid, or take its pin out.",
    );
  for (const [part, point] of [
    ["eyes", sitter.eyes],
    ["mouth", sitter.mouth],
    ["breast", sitter.breastbone],
  ] as const)
    if (!isClear(scene, camera.point, point))
      tell(
        "sight",
        0.3,
        () => `Something stands between camera ${camera.id} and the sitter's ${part}.`,
        "Move the furniture, or take a pin out.",
      );
}

/** How far a point lies outside the part of the frame where eyes belong, as a share of the frame; 1: behind the lens. */
function eyesOff(camera: SceneCamera, at: Vector3): number {
  const way = minus(at, camera.point);
  const depth = dot(way, camera.forward);
  if (depth < 0.05) return 1;
  const [x, y] = [dot(way, camera.right), dot(way, camera.up)];
  const off = Math.max(Math.abs(x) / camera.tanHalfWidth, Math.abs(y) / camera.tanHalfHeight) / depth / 2;
  return Math.max(0, off - (0.5 - eyesInside));
}

/** Tells of lenses that are on more cameras than the kit has of them, and of focal lengths that they lack. */
export function tellKit(scene: Scene, ground: Ground, tell: Tell): void {
  const { cameras } = scene;
  for (const [k, camera] of cameras.entries()) {
    let used = 1;
    for (let j = 0; j < k; j++) if (cameras[j]!.said.lens === camera.said.lens) used++;
    if (used > (ground.lensCopies.get(camera.said.lens) ?? 1))
      tell("kit", 0.5, () => `${camera.lens.name} would be on two cameras.`, "Put another lens in the kit.");
    const [shortest, longest] = camera.lens.focal;
    const outside = Math.max(shortest - 0.5 - camera.focalMm, camera.focalMm - longest - 0.5);
    if (outside > 0)
      tell(
        "kit",
        outside / 10,
        () =>
          `Camera ${camera.id} is set to ${Math.round(camera.focalMm)} mm, which ${camera.lens.name} does not have.`,
        "Set a focal length that the lens has.",
      );
  }
}
