import type { RoomCamera } from "#documents/room-result";
import {
  angleBetween,
  dot,
  headingOf,
  minus,
  times,
  turnBetween,
  type Vector3,
} from "#science/geometry/vector3";
import type { Scene, SceneCamera } from "./scene.ts";

/** Within this angle of the gaze a key lights both cheeks, degrees. Common practice. */
const frontal = 12;

/** Whether the cheek that the key leaves dark is turned to a lens. */
export function shadowSideTo(scene: Scene, camera: SceneCamera): RoomCamera["shadowSide"] {
  const key = keySourceOf(scene);
  if (!key) return null;
  const { sitter } = scene;
  const gaze = headingOf(sitter.gaze);
  const keyTurn = turnBetween(gaze, headingOf(minus(key.point, sitter.head)));
  const lensTurn = turnBetween(gaze, headingOf(minus(camera.point, sitter.head)));
  if (Math.abs(keyTurn) < frontal) return "frontal";
  return keyTurn * lensTurn < 0 ? "towards" : "away";
}

/** What gives the face its shape: a lamp or a window. */
export interface KeySource {
  readonly id: string;
  readonly point: Vector3;
}

/** The lamp called the key; else the lamp that is brightest at the sitter's face, by the inverse square of its distance. */
export function keyOf(scene: Scene): Scene["lights"][number] | undefined {
  const called = scene.lights.find((l) => l.said.role === "key");
  if (called) return called;
  let best: Scene["lights"][number] | undefined;
  let most = 0;
  for (const light of scene.lights) {
    if (light.said.role !== "other") continue;
    const way = minus(scene.sitter.eyes, light.point);
    const metres = Math.hypot(...way);
    const within = angleBetween(light.direction, times(way, 1 / metres)) < light.beamDegrees / 2;
    const lux = within ? light.luxAtOneMetre / metres ** 2 : 0;
    if (lux > most) [best, most] = [light, lux];
  }
  return best;
}

/** The key lamp; without one, the window that fills most of what the face sees. */
export const keySourceOf = (scene: Scene): KeySource | undefined => keyOf(scene) ?? largestWindow(scene);

function largestWindow(scene: Scene): KeySource | undefined {
  let best: KeySource | undefined;
  let most = 0;
  for (const wall of scene.walls)
    for (const opening of wall.openings) {
      if (opening.said.kind !== "window") continue;
      const way = minus(scene.sitter.eyes, opening.middle);
      const slope = (way[0] * wall.inward[0] + way[1] * wall.inward[1]) / Math.hypot(...way);
      const area = opening.said.width * opening.said.height * opening.passes;
      const seen = (area * Math.max(0, slope)) / dot(way, way);
      if (seen > most) [best, most] = [{ id: opening.said.id, point: opening.middle }, seen];
    }
  return best;
}
