import { rayToBox } from "#science/geometry/box";
import { along, minus, type Vector3 } from "#science/geometry/vector3";
import type { Scene, SceneOpening, SceneWall } from "./scene.ts";

/** What a ray first meets. */
export interface RayHit {
  readonly metres: number;
  readonly at: Vector3;
  readonly kind: "wall" | "opening" | "floor" | "ceiling" | "furniture";
  readonly wall?: SceneWall;
  /** The window, door or hole that it goes to. */
  readonly opening?: SceneOpening;
  /** Id of the furniture. */
  readonly furniture?: string;
}

/**
 * What a ray from inside the room first meets.
 *
 * @param way - Direction, length 1.
 * @param furnished - Whether furniture stops it.
 */
export function firstHit(scene: Scene, from: Vector3, way: Vector3, furnished = true): RayHit | null {
  let metres = Number.POSITIVE_INFINITY;
  let kind: RayHit["kind"] = "wall";
  let wall: SceneWall | undefined;
  let furniture: string | undefined;
  for (const candidate of scene.walls) {
    const t = rayToWall(candidate, from, way);
    if (t < metres) {
      metres = t;
      wall = candidate;
    }
  }
  const level = way[2] < 0 ? -from[2] / way[2] : way[2] > 0 ? (scene.room.height - from[2]) / way[2] : metres;
  if (level >= 0 && level < metres) {
    metres = level;
    kind = way[2] < 0 ? "floor" : "ceiling";
    wall = undefined;
  }
  if (furnished)
    for (const box of scene.furniture) {
      const t = rayToBox(box, from, way);
      if (t > 1e-6 && t < metres) {
        metres = t;
        kind = "furniture";
        furniture = box.id;
        wall = undefined;
      }
    }
  if (!Number.isFinite(metres)) return null;
  const at = along(from, way, metres);
  const opening = wall && openingAt(wall, at);
  if (opening) kind = "opening";
  return {
    metres,
    at,
    kind,
    ...(wall && { wall }),
    ...(opening && { opening }),
    ...(furniture !== undefined && { furniture }),
  };
}

/** Distance along a ray to a wall's face, Infinity where it misses it. */
export function rayToWall(wall: SceneWall, from: Vector3, way: Vector3): number {
  const across = way[0] * wall.inward[0] + way[1] * wall.inward[1];
  if (Math.abs(across) < 1e-12) return Number.POSITIVE_INFINITY;
  const off = (wall.from[0] - from[0]) * wall.inward[0] + (wall.from[1] - from[1]) * wall.inward[1];
  const t = off / across;
  if (t < 1e-9) return Number.POSITIVE_INFINITY;
  const s =
    (from[0] + way[0] * t - wall.from[0]) * wall.along[0] +
    (from[1] + way[1] * t - wall.from[1]) * wall.along[1];
  return s >= -1e-9 && s <= wall.metres + 1e-9 ? t : Number.POSITIVE_INFINITY;
}

/** The opening of a wall that holds a point of its face. */
export function openingAt(wall: SceneWall, at: Vector3): SceneOpening | undefined {
  const s = (at[0] - wall.from[0]) * wall.along[0] + (at[1] - wall.from[1]) * wall.along[1];
  return wall.openings.find((o) => s >= o.from && s < o.to && at[2] >= o.sill && at[2] < o.head);
}

/** Whether nothing of the room or its furniture stands between two points inside it. */
export function isClear(scene: Scene, from: Vector3, to: Vector3): boolean {
  const way = minus(to, from);
  // The way is the whole stretch, so distances come as shares of it.
  for (const wall of scene.walls) if (rayToWall(wall, from, way) < 1 - 1e-6) return false;
  for (const box of scene.furniture) {
    const t = rayToBox(box, from, way);
    if (t > 1e-6 && t < 1 - 1e-6) return false;
  }
  return true;
}
