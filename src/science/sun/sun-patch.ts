import type { Vector3 } from "../geometry/vector3.ts";

/**
 * Where the sun through an opening lands on a level: the opening's corners slid along the sun's rays.
 *
 * @param corners - Of the opening, a loop, metres.
 * @param toSun - Direction to the sun, length 1; above the horizon.
 * @param level - Height of the level over the floor; the opening's part below it is cut off first.
 * @returns Corners on the plan, a loop; empty where no ray comes down so far.
 */
export function patchOnLevel(corners: readonly Vector3[], toSun: Vector3, level: number): [number, number][] {
  if (toSun[2] <= 1e-6) return [];
  const above: Vector3[] = [];
  for (let i = 0; i < corners.length; i++) {
    const a = corners[i]!;
    const b = corners[(i + 1) % corners.length]!;
    if (a[2] >= level) above.push(a);
    if (a[2] >= level !== b[2] >= level) {
      const t = (level - a[2]) / (b[2] - a[2]);
      above.push([a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t, level]);
    }
  }
  return above.map(([x, y, z]) => {
    const run = (z - level) / toSun[2];
    return [x - toSun[0] * run, y - toSun[1] * run];
  });
}

/**
 * Where the sun through an opening lands on an upright wall: the opening's corners slid along the sun's rays.
 *
 * @param corners - Of the opening, a loop, metres.
 * @param toSun - Direction to the sun, length 1.
 * @param wall - A point of the wall on the plan, its direction along and its normal into the room, both length 1.
 * @returns Metres along the wall from that point and up, a loop; empty where the rays run away from it.
 */
export function patchOnWall(
  corners: readonly Vector3[],
  toSun: Vector3,
  wall: {
    readonly from: readonly [number, number];
    readonly along: readonly [number, number];
    readonly inward: readonly [number, number];
  },
): [number, number][] {
  const { from, along, inward } = wall;
  const towards = toSun[0] * inward[0] + toSun[1] * inward[1];
  // Rays run away from the sun, so they meet a wall that faces it.
  if (towards < 1e-9) return [];
  const patch: [number, number][] = [];
  for (const [x, y, z] of corners) {
    const run = ((x - from[0]) * inward[0] + (y - from[1]) * inward[1]) / towards;
    if (run < 0) return [];
    const [px, py] = [x - toSun[0] * run, y - toSun[1] * run];
    patch.push([(px - from[0]) * along[0] + (py - from[1]) * along[1], z - toSun[2] * run]);
  }
  return patch;
}

/**
 * The part of a polygon on the left of a line, both on the plan (Sutherland and Hodgman).
 *
 * @param from - A point of the line.
 * @param inward - Normal of the line towards what stays.
 */
export function clipToSide(
  polygon: readonly (readonly [number, number])[],
  from: readonly [number, number],
  inward: readonly [number, number],
): [number, number][] {
  const height = (p: readonly [number, number]): number =>
    (p[0] - from[0]) * inward[0] + (p[1] - from[1]) * inward[1];
  const kept: [number, number][] = [];
  for (let i = 0; i < polygon.length; i++) {
    const a = polygon[i]!;
    const b = polygon[(i + 1) % polygon.length]!;
    const [ha, hb] = [height(a), height(b)];
    if (ha >= 0) kept.push([a[0], a[1]]);
    if (ha >= 0 !== hb >= 0) {
      const t = ha / (ha - hb);
      kept.push([a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t]);
    }
  }
  return kept;
}
