import type { RoomCamera } from "#documents/room-result";
import { boxCorners } from "#science/geometry/box";
import { along, dot, minus, type Vector3 } from "#science/geometry/vector3";
import { placeInFrame } from "#science/optics/pin-hole";
import { lightName, openingName } from "./geometry-things.ts";
import type { Scene, SceneCamera } from "./scene.ts";
import { isClear } from "./scene-rays.ts";
import { theThing } from "./thing-words.ts";

/** A flat upright pane: a window's glass or a glossy front. */
interface Pane {
  readonly id: string;
  readonly corners: readonly Vector3[];
  /** Away from the pane, into the room, length 1. */
  readonly normal: Vector3;
}

function panesOf(scene: Scene): Pane[] {
  const panes: Pane[] = [];
  for (const wall of scene.walls)
    for (const opening of wall.openings)
      if (opening.said.kind === "window" && opening.said.covered < 1)
        panes.push({
          id: opening.said.id,
          corners: opening.corners,
          normal: [wall.inward[0], wall.inward[1], 0],
        });
  for (const box of scene.furniture) {
    if (!box.glossy) continue;
    const c = boxCorners(box);
    const middle: Vector3 = [box.at[0], box.at[1], box.base + box.size[2] / 2];
    for (let i = 0; i < 4; i++) {
      const corners = [c[i]!, c[(i + 1) % 4]!, c[((i + 1) % 4) + 4]!, c[i + 4]!];
      const [dx, dy] = [corners[1]![0] - corners[0]![0], corners[1]![1] - corners[0]![1]];
      const k = 1 / Math.max(1e-9, Math.hypot(dx, dy));
      const out = dot([dy, -dx, 0], minus(corners[0]!, middle)) > 0 ? k : -k;
      panes.push({ id: box.id, corners, normal: [dy * out, -dx * out, 0] });
    }
  }
  return panes;
}

/**
 * What a camera sees mirrored in glass: each light, other camera, itself and the interviewer, by the law of reflection.
 *
 * @returns One entry a pane and thing, with the place in the frame.
 */
export function reflectionsIn(scene: Scene, camera: SceneCamera): RoomCamera["reflections"] {
  const found: RoomCamera["reflections"] = [];
  const sources: { id: string; name: string; at: Vector3 }[] = [
    ...scene.lights.map((l) => ({ id: l.id, name: lightName(l), at: l.point })),
    ...scene.cameras.map((c) => ({ id: c.id, name: `camera ${c.id}`, at: c.point })),
    { id: "interviewer", name: "the interviewer", at: scene.interviewer.head },
  ];
  for (const pane of panesOf(scene)) {
    const corner = pane.corners[0]!;
    const eye = dot(minus(camera.point, corner), pane.normal);
    if (eye <= 0) continue;
    for (const source of sources) {
      const height = dot(minus(source.at, corner), pane.normal);
      if (height <= 0) continue;
      const mirrored = along(source.at, pane.normal, -2 * height);
      const way = minus(mirrored, camera.point);
      const at = along(camera.point, way, eye / (eye + height));
      if (!isOn(pane, at)) continue;
      const place = placeInFrame(camera, at);
      if (!place || place.x < 0 || place.x > 1 || place.y < 0 || place.y > 1) continue;
      const before = along(at, pane.normal, 0.01);
      if (!isClear(scene, camera.point, before)) continue;
      if (source.id !== camera.id && !isClear(scene, source.at, before)) continue;
      found.push({ in: pane.id, of: source.id, name: source.name, at: [place.x, place.y] });
    }
  }
  return found;
}

/** Whether a point of an upright pane's plane lies on the pane. */
function isOn(pane: Pane, at: Vector3): boolean {
  const [a, b, c] = pane.corners as readonly [Vector3, Vector3, Vector3];
  const breadth = Math.hypot(b[0] - a[0], b[1] - a[1]);
  const s = ((at[0] - a[0]) * (b[0] - a[0]) + (at[1] - a[1]) * (b[1] - a[1])) / breadth;
  return s >= 0 && s <= breadth && at[2] >= a[2] && at[2] <= c[2];
}

/** Words for a pane. */
export const paneName = (scene: Scene, id: string): string =>
  theThing(scene.furniture.find((f) => f.id === id)?.name ?? openingName(scene, id));
