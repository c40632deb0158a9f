import type { Curve } from "../colour/curve.ts";

/**
 * Code value, percent of the range, that a surface takes when the exposure is right for the light that falls on it: a
 * surface of 18 % lies where the curve puts scene light 0.18.
 *
 * @param reflectance - Of the surface, 0 to 1.
 * @param stopsOver - Light on the surface over what the exposure was set for, stops.
 */
export const surfaceLevelPercent = (curve: Curve, reflectance: number, stopsOver = 0): number =>
  100 * Math.max(0, Math.min(1, curve.toCode(reflectance * 2 ** stopsOver)));
