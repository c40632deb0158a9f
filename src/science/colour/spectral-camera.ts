import type { Triple } from "./matrix3.ts";

/** Spectra sampled at the same wavelengths: one number each, any one step. */
export type Spectrum = ArrayLike<number>;

/**
 * Linear light that a sensor's three channels collect from a surface under a light.
 *
 * For simulation: each argument is sampled at the same wavelengths. A perfect diffuser gives the sum of light times
 * sensitivity, so divide by that for a white-balanced camera.
 *
 * Source: the definition; CIE 015:2018, 7.1 with sensitivities in place of colour-matching functions.
 */
export function collectLight(
  sensitivities: readonly [Spectrum, Spectrum, Spectrum],
  light: Spectrum,
  reflectance: Spectrum,
): Triple {
  const channel = (sensitivity: Spectrum): number => {
    let sum = 0;
    for (let i = 0; i < light.length; i++) sum += sensitivity[i]! * light[i]! * reflectance[i]!;
    return sum;
  };
  return [channel(sensitivities[0]), channel(sensitivities[1]), channel(sensitivities[2])];
}
