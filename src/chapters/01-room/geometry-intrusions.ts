import type { RoomCamera, SeenThing } from "#documents/room-result";
import { clipToFrame } from "#science/optics/clip-to-frame";
import { type PinHole, placeInFrame } from "#science/optics/pin-hole";
import { boomSize, boomTail, poleTop, type Thing } from "./geometry-things.ts";
import type { Scene, SceneCamera } from "./scene.ts";
import { isClear } from "./scene-rays.ts";

/** A sliver under this share of the frame is not seen. */
const leastArea = 5e-5;

/** What of the room's things a camera's frame holds, nearest first. `id` is the camera's own, which it does not see. */
export function seenBy(scene: Scene, camera: PinHole, id: string, things: readonly Thing[]): SeenThing[] {
  const seen: SeenThing[] = [];
  const hidden = new Set(scene.plan.wishes.hide);
  for (const thing of things) {
    if (thing.own === id) continue;
    if (scene.slides.some((s) => s.id === thing.id && s.camera.id === id)) continue;
    let area = 0;
    let box: SeenThing["box"] = [1, 1, 0, 0];
    for (const face of thing.faces(camera)) {
      const part = clipToFrame(camera, face);
      if (!part || !isSeen(scene, camera, part.middle, thing)) continue;
      area += part.area;
      box = [
        Math.min(box[0], part.box[0]),
        Math.min(box[1], part.box[1]),
        Math.max(box[2], part.box[2]),
        Math.max(box[3], part.box[3]),
      ];
    }
    if (area < leastArea) continue;
    const { middle, kind } = thing;
    seen.push({
      id: thing.id,
      kind,
      name: thing.name,
      area,
      box,
      metres: Math.hypot(
        middle[0] - camera.point[0],
        middle[1] - camera.point[1],
        middle[2] - camera.point[2],
      ),
      unwanted: hidden.has(thing.id) || !(kind === "furniture" || kind === "door" || kind === "window"),
    });
  }
  return seen.sort((a, b) => a.metres - b.metres);
}

/** Whether furniture and walls leave the way free; a thing's own face does not hide it. */
function isSeen(scene: Scene, camera: PinHole, to: readonly [number, number, number], thing: Thing): boolean {
  // Stop a little short of the face, so that a window's own wall or a box's own side is not in the way.
  const k = thing.kind === "furniture" || thing.kind === "window" || thing.kind === "door" ? 0.995 : 1;
  const { point } = camera;
  return isClear(scene, point, [
    point[0] + (to[0] - point[0]) * k,
    point[1] + (to[1] - point[1]) * k,
    point[2] + (to[2] - point[2]) * k,
  ]);
}

/** A gap from the frame's edge of less than this share of the frame's breadth is worth telling. */
const nearEdge = 0.35;

/**
 * The gap between a boom and the frame, at the boom's distance: the least over its tip, tail and pole.
 *
 * @returns Metres and pixels; below 0 inside the frame. Only what comes near the frame is listed.
 */
export function clearancesOf(scene: Scene, camera: SceneCamera): RoomCamera["clears"] {
  const clears: RoomCamera["clears"] = [];
  for (const microphone of scene.microphones) {
    if (microphone.said.role !== "boom") continue;
    const tail = boomTail(microphone);
    const top = poleTop(microphone);
    const points = [microphone.point, tail];
    if (top)
      for (const k of [0.15, 0.3, 0.5, 0.75, 1])
        points.push([
          tail[0] + (top[0] - tail[0]) * k,
          tail[1] + (top[1] - tail[1]) * k,
          tail[2] + (top[2] - tail[2]) * k,
        ]);
    let metres = Number.POSITIVE_INFINITY;
    let pixels = 0;
    for (const point of points) {
      const place = placeInFrame(camera, point);
      if (!place) continue;
      const width = 2 * place.depth * camera.tanHalfWidth;
      const height = 2 * place.depth * camera.tanHalfHeight;
      const across = Math.max(-place.x, place.x - 1) * width;
      const upright = Math.max(-place.y, place.y - 1) * height;
      // From the edge to its skin, not to its axis.
      const gap =
        (across > 0 && upright > 0 ? Math.hypot(across, upright) : Math.max(across, upright)) -
        boomSize.thick / 2;
      if (gap < metres) {
        metres = gap;
        pixels = (gap / height) * camera.pixels[1];
      }
    }
    if (metres < nearEdge * 2 * camera.sitterDepth * camera.tanHalfHeight)
      clears.push({ id: microphone.id, kind: "boom", metres, pixels });
  }
  return clears;
}
