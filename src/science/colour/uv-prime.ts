import type { Triple } from "./matrix3.ts";
import { type Chromaticity, xyzToChromaticity } from "./white-points.ts";

/**
 * CIE 1976 u'v' chromaticity of a colour: a plane on which equal steps look about equally large.
 *
 * @param xyz - Any scale; black answers the equal-energy point, as {@link xyzToChromaticity} does.
 *
 * Source: CIE 015:2018, 8.2.2.1 (ISO/CIE 11664-5), u' = 4x / (-2x + 12y + 3), v' = 9y / (-2x + 12y + 3).
 */
export function xyzToUvPrime(xyz: Triple): Chromaticity {
  const [x, y] = xyzToChromaticity(xyz);
  const under = -2 * x + 12 * y + 3;
  return [(4 * x) / under, (9 * y) / under];
}
