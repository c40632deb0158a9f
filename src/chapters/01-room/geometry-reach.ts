import type { RoomGeometry } from "#documents/room-result";
import { distanceToBox } from "#science/geometry/box";
import { distanceToOutline, isInside } from "#science/geometry/polygon";
import {
  angleBetween,
  directionOf,
  distanceBetween,
  dot,
  minus,
  unit,
  type Vector3,
} from "#science/geometry/vector3";
import { type WidestWay, widestWay } from "#science/geometry/widest-way";
import { armShare } from "#science/people/body-points";
import { cablesOf } from "./geometry-cables.ts";
import type { Scene } from "./scene.ts";
import { isClear } from "./scene-rays.ts";

/** What a person needs of floor around a seat's middle, metres. Common practice. */
export const seatRadius = 0.35;

/** Ways, cables and sight lines of one who works alone. */
export function reachFigures(scene: Scene): Pick<RoomGeometry, "walkway" | "cables" | "reaches" | "sights"> {
  const way = wayToChair(scene);
  return {
    walkway: way && { metres: way.way.metres, at: [...way.way.at], door: way.door },
    cables: cablesOf(scene, way?.way ?? null),
    reaches: reachesOf(scene),
    sights: sightsOf(scene),
  };
}

/** Where the cables run along the floor, room metres: as {@link reachFigures} has them, without the rest. */
export const cableWays = (scene: Scene): [number, number][][] =>
  cablesOf(scene, wayToChair(scene)?.way ?? null).map(({ path }) => path);

function wayToChair(scene: Scene): { way: WidestWay; door: string } | null {
  const { outline } = scene.room;
  const [xs, ys] = [outline.map((c) => c[0]), outline.map((c) => c[1])];
  const box = [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)] as const;
  const step = Math.max(0.12, Math.sqrt(((box[2] - box[0]) * (box[3] - box[1])) / 1600));
  const low = scene.furniture.filter((f) => f.base < 1.9);
  const circles = [
    { at: [scene.sitter.head[0], scene.sitter.head[1]] as const, radius: seatRadius },
    ...scene.stands.map((s) => ({ at: s.at, radius: s.footprint })),
  ];
  const clearance = (x: number, y: number): number => {
    if (!isInside(outline, x, y)) return 0;
    let free = distanceToOutline(outline, x, y);
    for (const piece of low) free = Math.min(free, distanceToBox(piece, x, y));
    for (const c of circles) free = Math.min(free, Math.hypot(x - c.at[0], y - c.at[1]) - c.radius);
    return free;
  };
  let best: { way: WidestWay; door: string } | null = null;
  for (const wall of scene.walls)
    for (const opening of wall.openings) {
      if (opening.said.kind !== "door") continue;
      const inside: [number, number] = [
        opening.middle[0] + wall.inward[0] * 0.45,
        opening.middle[1] + wall.inward[1] * 0.45,
      ];
      const chair: [number, number] = [scene.interviewer.head[0], scene.interviewer.head[1]];
      const way = widestWay(box, clearance, inside, chair, step);
      if (!way) continue;
      const metres = Math.min(way.metres, opening.said.width);
      if (!best || metres > best.way.metres) best = { way: { ...way, metres }, door: opening.said.id };
    }
  return best;
}

/** A screen is read up to this far off its face, degrees. Common practice. */
const readable = 60;

/** How each screen is seen from the interviewer's chair: the monitors, or the cameras' own screens where there are none. */
export function sightsOf(scene: Scene): RoomGeometry["sights"] {
  const { interviewer, sitter } = scene;
  const toSitter = minus(sitter.eyes, interviewer.eyes);
  // Without a monitor, the camera's own screen, on its back.
  const screens: { id: string; at: Vector3; normal: Vector3 }[] =
    scene.plan.monitors.length > 0
      ? scene.plan.monitors.map((m) => ({ id: m.id, at: m.at, normal: directionOf(m.heading) }))
      : scene.cameras.map((c) => ({
          id: c.id,
          at: [c.point[0] - c.forward[0] * 0.15, c.point[1] - c.forward[1] * 0.15, c.point[2]],
          normal: directionOf(c.pan + 180),
        }));
  return screens.map(({ id, at, normal }) => {
    const way = minus(at, interviewer.eyes);
    return {
      id,
      degrees: angleBetween(toSitter, way),
      metres: Math.hypot(...way),
      faces: dot(unit(way), normal) < -Math.cos((readable * Math.PI) / 180),
      clear: isClear(scene, interviewer.eyes, at),
    };
  });
}

/** From the shoulder to each camera: who works alone touches focus and frame from the chair. */
function reachesOf({ interviewer, cameras }: Scene): RoomGeometry["reaches"] {
  const arm = armShare * interviewer.stature;
  return cameras.map(({ id, point }) => {
    const metres = Math.min(
      distanceBetween(interviewer.leftShoulder, point),
      distanceBetween(interviewer.rightShoulder, point),
    );
    return { id, metres, inReach: metres <= arm };
  });
}
