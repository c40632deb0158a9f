import type { Vector3 } from "../geometry/vector3.ts";

/**
 * The pan that brings a point to a place across the frame while the tilt stays as it is, in closed form.
 *
 * @param from - Centre of projection.
 * @param target - The point to hold.
 * @param x - Share of the frame's width from the left.
 * @param tiltDegrees - Of the camera, fixed.
 * @param tanHalfWidth - Tangent of half the angle of view across.
 * @returns Degrees; null where no pan does it (straight over or under the lens).
 */
export function panFor(
  from: Vector3,
  target: Vector3,
  x: number,
  tiltDegrees: number,
  tanHalfWidth: number,
): number | null {
  const X = (2 * x - 1) * tanHalfWidth;
  const tilt = (tiltDegrees * Math.PI) / 180;
  const east = target[0] - from[0];
  const north = target[1] - from[1];
  const level = Math.hypot(east, north);
  // With δ from the axis to the point: level·sin δ = X·(level·cos δ·cos tilt + rise·sin tilt).
  const slope = X * Math.cos(tilt);
  const sine = (X * (target[2] - from[2]) * Math.sin(tilt)) / (level * Math.hypot(1, slope));
  if (!(Math.abs(sine) < 1)) return null;
  const delta = Math.atan(slope) + Math.asin(sine);
  return ((Math.atan2(east, north) - delta) * 180) / Math.PI;
}
