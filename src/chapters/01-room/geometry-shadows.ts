import type { RoomGeometry } from "#documents/room-result";
import { angleBetween, distanceBetween, dot, minus, times, type Vector3 } from "#science/geometry/vector3";
import { placeInFrame } from "#science/optics/pin-hole";
import { boomSize, boomTail } from "./geometry-things.ts";
import type { Scene, SceneCamera } from "./scene.ts";
import { firstHit } from "./scene-rays.ts";

/** A source this many times broader, seen from where the shadow falls, than the boom leaves no edge to see. Common practice. */
const softBy = 4;

/** Where the boom's shadow falls, for each light that throws an edge. */
export function boomShadows(scene: Scene): RoomGeometry["boomShadows"] {
  const shadows: RoomGeometry["boomShadows"] = [];
  for (const microphone of scene.microphones) {
    if (microphone.said.role !== "boom") continue;
    for (const light of scene.lights) {
      const ends = [microphone.point, boomTail(microphone)].flatMap((end) => {
        const fallen = shadowOf(scene, light, end);
        return fallen ? [fallen] : [];
      });
      const first = ends.find((e) => e.on === "sitter") ?? ends[0];
      if (!first) continue;
      const cameras = scene.cameras
        .filter((c) => ends.some((e) => e.on === first.on && isInFrame(c, e.at)))
        .map((c) => c.id);
      if (cameras.length > 0) shadows.push({ boom: microphone.id, light: light.id, on: first.on, cameras });
    }
  }
  return shadows;
}

function shadowOf(
  scene: Scene,
  light: Scene["lights"][number],
  end: Vector3,
): { on: string; at: Vector3 } | null {
  const way = minus(end, light.point);
  const metres = Math.hypot(...way);
  const direction = times(way, 1 / Math.max(1e-9, metres));
  if (angleBetween(direction, light.direction) > light.beamDegrees / 2) return null;
  for (const [part, reach] of [
    [scene.sitter.head, 0.13],
    [scene.sitter.breastbone, 0.22],
  ] as const) {
    const t = dot(minus(part, light.point), direction);
    if (t < metres) continue;
    const at: Vector3 = [
      light.point[0] + direction[0] * t,
      light.point[1] + direction[1] * t,
      light.point[2] + direction[2] * t,
    ];
    if (distanceBetween(at, part) < reach) return hasEdge(light, metres, t) ? { on: "sitter", at } : null;
  }
  const hit = firstHit(scene, light.point, direction);
  if (!hit || hit.metres <= metres || !hasEdge(light, metres, hit.metres)) return null;
  return { on: hit.furniture ?? hit.kind, at: hit.at };
}

/** Whether the half shadow is narrower than a few times what throws it. */
function hasEdge(light: Scene["lights"][number], throwMetres: number, fallMetres: number): boolean {
  const penumbra = (Math.max(...light.size) * (fallMetres - throwMetres)) / throwMetres;
  return penumbra < softBy * boomSize.thick;
}

function isInFrame(camera: SceneCamera, at: Vector3): boolean {
  const place = placeInFrame(camera, at);
  return place !== null && place.x >= 0 && place.x <= 1 && place.y >= 0 && place.y <= 1;
}
