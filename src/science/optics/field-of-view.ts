import { degreesOf } from "../geometry/vector3.ts";

/** Full angles of a frame, degrees. */
export interface FieldOfView {
  readonly width: number;
  readonly height: number;
  readonly diagonal: number;
}

/**
 * Field of view of a rectilinear lens focused far away: 2·atan(d / 2f) along each measure of the frame.
 *
 * @param sensorMm - Width and height of the recorded area.
 * @param focalMm - Focal length.
 * @param squeeze - Anamorphic squeeze; widens the frame, 1 for spherical.
 * @returns Full angles in degrees.
 *
 * @example
 * 50 mm on 36 x 24 mm sees 39.598 by 26.991 degrees.
 */
export function fieldOfView(sensorMm: readonly [number, number], focalMm: number, squeeze = 1): FieldOfView {
  const full = (mm: number): number => degreesOf(2 * Math.atan(mm / (2 * focalMm)));
  const width = sensorMm[0] * squeeze;
  return {
    width: full(width),
    height: full(sensorMm[1]),
    diagonal: full(Math.hypot(width, sensorMm[1])),
  };
}

/**
 * Breadth that a frame takes in at a distance through a thin lens focused there: d·(s - f)/f.
 *
 * @param sensorMm - One measure of the recorded area (times squeeze for the width).
 * @param focalMm - Focal length.
 * @param distanceMm - From the lens.
 * @returns Millimetres.
 */
export const framedBreadthMm = (sensorMm: number, focalMm: number, distanceMm: number): number =>
  (sensorMm * (distanceMm - focalMm)) / focalMm;

/**
 * Distance at which a frame takes in a breadth, by the pin-hole: the other way round of `breadth = d·s/f`.
 *
 * @returns In the unit of `breadth`.
 */
export const distanceForBreadth = (breadth: number, sensorMm: number, focalMm: number): number =>
  (breadth * focalMm) / sensorMm;
