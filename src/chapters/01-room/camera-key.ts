import type { RoomCamera } from "#documents/room-result";
import { angleBetween, headingOf, minus, times, turnBetween } from "#science/geometry/vector3";
import type { Scene, SceneCamera } from "./scene.ts";

/** Within this angle of the gaze a key lights both cheeks, degrees. Common practice. */
const frontal = 12;

/** Whether the cheek that the key leaves dark is turned to a lens. */
export function shadowSideTo(scene: Scene, camera: SceneCamera): RoomCamera["shadowSide"] {
  const key = keyOf(scene);
  if (!key) return null;
  const { sitter } = scene;
  const gaze = headingOf(sitter.gaze);
  const keyTurn = turnBetween(gaze, headingOf(minus(key.point, sitter.head)));
  const lensTurn = turnBetween(gaze, headingOf(minus(camera.point, sitter.head)));
  if (Math.abs(keyTurn) < frontal) return "frontal";
  return keyTurn * lensTurn < 0 ? "towards" : "away";
}

/** The light called the key; else the one that is brightest at the sitter's face, by the inverse square of its distance. */
export function keyOf(scene: Scene): Scene["lights"][number] | undefined {
  const called = scene.lights.find((l) => l.said.role === "key");
  if (called) return called;
  let best: Scene["lights"][number] | undefined;
  let most = 0;
  for (const light of scene.lights) {
    if (light.said.role === "background" || light.said.role === "hair") continue;
    const way = minus(scene.sitter.eyes, light.point);
    const metres = Math.hypot(...way);
    const within = angleBetween(light.direction, times(way, 1 / metres)) < light.beamDegrees / 2;
    const lux = within ? light.luxAtOneMetre / metres ** 2 : 0;
    if (lux > most) [best, most] = [light, lux];
  }
  return best;
}
