import { dot, minus, type Vector3 } from "../geometry/vector3.ts";
import type { PinHole } from "./pin-hole.ts";

/** The part of a flat shape that a frame shows. */
export interface FramedPart {
  /** Share of the frame's area. */
  readonly area: number;
  /** Left, top, right, bottom, as shares of the frame. */
  readonly box: readonly [number, number, number, number];
  /** A point of the room in the middle of what is seen of it. */
  readonly middle: Vector3;
}

const nearest = 0.02;

/**
 * Clips a flat convex shape to what a camera takes in (Sutherland and Hodgman, 1974, in the camera's own axes).
 *
 * @param corners - A loop of corners in the room.
 * @returns What of it is in the frame; null for nothing.
 */
export function clipToFrame(camera: PinHole, corners: readonly Vector3[]): FramedPart | null {
  // In units of the half frame, what is seen has |x| <= z and |y| <= z.
  let loop: [number, number, number][] = corners.map((corner) => {
    const way = minus(corner, camera.point);
    return [
      dot(way, camera.right) / camera.tanHalfWidth,
      dot(way, camera.up) / camera.tanHalfHeight,
      dot(way, camera.forward),
    ];
  });
  for (let plane = 0; plane < 5 && loop.length > 0; plane++) {
    const inside = (p: readonly [number, number, number]): number =>
      plane === 0
        ? p[2] - nearest
        : plane === 1
          ? p[2] - p[0]
          : plane === 2
            ? p[2] + p[0]
            : plane === 3
              ? p[2] - p[1]
              : p[2] + p[1];
    if (loop.every((p) => inside(p) >= 0)) continue;
    const kept: [number, number, number][] = [];
    for (let i = 0; i < loop.length; i++) {
      const a = loop[i]!;
      const b = loop[(i + 1) % loop.length]!;
      const [da, db] = [inside(a), inside(b)];
      if (da >= 0) kept.push(a);
      if (da >= 0 !== db >= 0) {
        const t = da / (da - db);
        kept.push([a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t, a[2] + (b[2] - a[2]) * t]);
      }
    }
    loop = kept;
  }
  if (loop.length < 3) return null;
  let [left, top, right, bottom, twice] = [1, 1, 0, 0, 0];
  const middle: [number, number, number] = [0, 0, 0];
  for (let i = 0; i < loop.length; i++) {
    const a = loop[i]!;
    const b = loop[(i + 1) % loop.length]!;
    const [ax, ay] = [0.5 + a[0] / a[2] / 2, 0.5 - a[1] / a[2] / 2];
    const [bx, by] = [0.5 + b[0] / b[2] / 2, 0.5 - b[1] / b[2] / 2];
    twice += ax * by - bx * ay;
    left = Math.min(left, ax);
    right = Math.max(right, ax);
    top = Math.min(top, ay);
    bottom = Math.max(bottom, ay);
    for (let k = 0; k < 3; k++) middle[k]! += a[k]! / loop.length;
  }
  const [x, y, z] = [middle[0] * camera.tanHalfWidth, middle[1] * camera.tanHalfHeight, middle[2]];
  return {
    area: Math.abs(twice) / 2,
    box: [left, top, right, bottom],
    middle: [0, 1, 2].map(
      (k) => camera.point[k]! + camera.right[k]! * x + camera.up[k]! * y + camera.forward[k]! * z,
    ) as unknown as Vector3,
  };
}

/** An upright oblong that turns its face to the camera, as a loop. */
export function facingOblong(camera: PinHole, middle: Vector3, width: number, height: number): Vector3[] {
  const [rx, ry] = [(camera.right[0] * width) / 2, (camera.right[1] * width) / 2];
  const at = (side: number, up: number): Vector3 => [
    middle[0] + rx * side,
    middle[1] + ry * side,
    middle[2] + (height / 2) * up,
  ];
  return [at(-1, -1), at(1, -1), at(1, 1), at(-1, 1)];
}

/** A bar between two points, as broad to the camera as it is thick. */
export function facingBar(camera: PinHole, from: Vector3, to: Vector3, thick: number): Vector3[] {
  const way = minus(to, from);
  const look = minus(from, camera.point);
  const x = way[1] * look[2] - way[2] * look[1];
  const y = way[2] * look[0] - way[0] * look[2];
  const z = way[0] * look[1] - way[1] * look[0];
  const k = thick / 2 / Math.max(1e-9, Math.hypot(x, y, z));
  const off = (p: Vector3, side: number): Vector3 => [
    p[0] + x * k * side,
    p[1] + y * k * side,
    p[2] + z * k * side,
  ];
  return [off(from, -1), off(to, -1), off(to, 1), off(from, 1)];
}
