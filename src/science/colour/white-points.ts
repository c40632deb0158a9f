import type { Triple } from "./matrix3.ts";

/** CIE 1931 chromaticity of a light. */
export type Chromaticity = readonly [x: number, y: number];

// CIE 015: chromaticities of the standard illuminants, 2° observer.
export const whiteD50: Chromaticity = [0.3457, 0.3585];
export const whiteD65: Chromaticity = [0.3127, 0.329];

/** XYZ of a chromaticity at luminance `Y` (default 1). */
export function chromaticityToXyz([x, y]: Chromaticity, Y = 1): Triple {
  return [(x * Y) / y, Y, ((1 - x - y) * Y) / y];
}

/** Chromaticity of a colour; black answers the equal-energy point, so that nothing divides by zero. */
export function xyzToChromaticity([X, Y, Z]: Triple): Chromaticity {
  const sum = X + Y + Z;
  return sum === 0 ? [1 / 3, 1 / 3] : [X / sum, Y / sum];
}
