/*
 * Points and directions in a room: x right, y up the drawing, z up from the floor, metres. A heading is clockwise from
 * +y seen from above; a tilt is up from the horizontal; both in degrees.
 */

/** x, y, z. */
export type Vector3 = readonly [number, number, number];

const perDegree = Math.PI / 180;

/** Radians of an angle in degrees. */
export const radiansOf = (degrees: number): number => degrees * perDegree;

/** Degrees of an angle in radians. */
export const degreesOf = (radians: number): number => radians / perDegree;

/** a + b. */
export const plus = (a: Vector3, b: Vector3): Vector3 => [a[0] + b[0], a[1] + b[1], a[2] + b[2]];

/** a - b: the way from b to a. */
export const minus = (a: Vector3, b: Vector3): Vector3 => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];

/** a times a number. */
export const times = (a: Vector3, k: number): Vector3 => [a[0] * k, a[1] * k, a[2] * k];

/** a + k·b, the point k along b from a. */
export const along = (a: Vector3, b: Vector3, k: number): Vector3 => [
  a[0] + b[0] * k,
  a[1] + b[1] * k,
  a[2] + b[2] * k,
];

/** The scalar product. */
export const dot = (a: Vector3, b: Vector3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

/** The vector product, right-handed. */
export const cross = (a: Vector3, b: Vector3): Vector3 => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];

/** Length of a vector. */
export const lengthOf = (a: Vector3): number => Math.hypot(a[0], a[1], a[2]);

/** Distance between two points. */
export const distanceBetween = (a: Vector3, b: Vector3): number =>
  Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);

/** The direction of a vector, length 1; [0, 0, 0] stays. */
export function unit(a: Vector3): Vector3 {
  const length = lengthOf(a);
  return length > 0 ? times(a, 1 / length) : a;
}

/** Angle between two directions, degrees, 0 to 180. */
export function angleBetween(a: Vector3, b: Vector3): number {
  // atan2 stays exact for small angles, where acos loses half its digits.
  return degreesOf(Math.atan2(lengthOf(cross(a, b)), dot(a, b)));
}

/** The direction of a heading and a tilt, length 1. */
export function directionOf(headingDegrees: number, tiltDegrees = 0): Vector3 {
  const heading = radiansOf(headingDegrees);
  const tilt = radiansOf(tiltDegrees);
  return [Math.sin(heading) * Math.cos(tilt), Math.cos(heading) * Math.cos(tilt), Math.sin(tilt)];
}

/** Heading of a direction, degrees in [0, 360). */
export function headingOf(direction: Vector3): number {
  const degrees = degreesOf(Math.atan2(direction[0], direction[1]));
  return degrees < 0 ? degrees + 360 : degrees;
}

/** Tilt of a direction, degrees, -90 to 90. */
export const tiltOf = (direction: Vector3): number =>
  degreesOf(Math.atan2(direction[2], Math.hypot(direction[0], direction[1])));

/** The turn from heading `from` to heading `to`, clockwise positive, degrees in [-180, 180). */
export const turnBetween = (from: number, to: number): number =>
  ((((to - from + 180) % 360) + 360) % 360) - 180;
