import { radiansOf, type Vector3 } from "./vector3.ts";

/** A box that stands turned on the floor: width across its heading, depth along it, from `base` up. */
export interface StandingBox {
  readonly at: readonly [number, number];
  readonly heading: number;
  readonly size: readonly [number, number, number];
  readonly base: number;
}

/** The box's four corners on the floor plan, a loop. */
export function boxOutline(box: StandingBox): [number, number][] {
  const turn = radiansOf(box.heading);
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  const [w, d] = [box.size[0] / 2, box.size[1] / 2];
  const corner = (right: number, ahead: number): [number, number] => [
    box.at[0] + right * cos + ahead * sin,
    box.at[1] - right * sin + ahead * cos,
  ];
  return [corner(-w, -d), corner(w, -d), corner(w, d), corner(-w, d)];
}

/** The box's eight corners: the lower loop, then the upper. */
export function boxCorners(box: StandingBox): Vector3[] {
  const loop = boxOutline(box);
  const top = box.base + box.size[2];
  return [...loop.map(([x, y]): Vector3 => [x, y, box.base]), ...loop.map(([x, y]): Vector3 => [x, y, top])];
}

/**
 * Where a ray meets a box (slab method, in the box's own axes).
 *
 * @param from - Start of the ray.
 * @param way - Its direction; distances come in lengths of it.
 * @returns Distance along the ray to where it enters (0 from within), or Infinity.
 */
export function rayToBox(box: StandingBox, from: Vector3, way: Vector3): number {
  const x = from[0] - box.at[0];
  const y = from[1] - box.at[1];
  // Most rays pass by the box's corners too: seen from above, by the circle through them.
  const across = x * way[1] - y * way[0];
  const around = (box.size[0] * box.size[0] + box.size[1] * box.size[1]) / 4;
  if (across * across > around * (way[0] * way[0] + way[1] * way[1])) return Number.POSITIVE_INFINITY;
  const turn = radiansOf(box.heading);
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  let enters = 0;
  let leaves = Number.POSITIVE_INFINITY;
  const slab = (at: number, go: number, low: number, high: number): void => {
    if (Math.abs(go) < 1e-12) {
      if (at < low || at > high) leaves = -1;
      return;
    }
    const [a, b] = [(low - at) / go, (high - at) / go];
    enters = Math.max(enters, Math.min(a, b));
    leaves = Math.min(leaves, Math.max(a, b));
  };
  slab(x * cos - y * sin, way[0] * cos - way[1] * sin, -box.size[0] / 2, box.size[0] / 2);
  slab(x * sin + y * cos, way[0] * sin + way[1] * cos, -box.size[1] / 2, box.size[1] / 2);
  slab(from[2], way[2], box.base, box.base + box.size[2]);
  return enters <= leaves ? enters : Number.POSITIVE_INFINITY;
}

/** Distance from a point of the floor plan to a box's outline there; 0 within it. */
export function distanceToBox(box: StandingBox, x: number, y: number): number {
  const turn = radiansOf(box.heading);
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  const [dx, dy] = [x - box.at[0], y - box.at[1]];
  return Math.hypot(
    Math.max(0, Math.abs(dx * cos - dy * sin) - box.size[0] / 2),
    Math.max(0, Math.abs(dx * sin + dy * cos) - box.size[1] / 2),
  );
}
