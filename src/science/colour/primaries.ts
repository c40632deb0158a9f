import { applyMatrix3, diagonal3, invertMatrix3, type Matrix3, multiplyMatrix3 } from "./matrix3.ts";
import { type Chromaticity, chromaticityToXyz, whiteD65 } from "./white-points.ts";

/** Red, green and blue of a display or encoding, and its white, as CIE 1931 chromaticities. */
export interface Primaries {
  readonly red: Chromaticity;
  readonly green: Chromaticity;
  readonly blue: Chromaticity;
  readonly white: Chromaticity;
}

/** Rec. ITU-R BT.709-6, item 1.3 and 1.4; also IEC 61966-2-1 (sRGB). */
export const bt709: Primaries = { red: [0.64, 0.33], green: [0.3, 0.6], blue: [0.15, 0.06], white: whiteD65 };
/** Rec. ITU-R BT.2020-2, Table 3. */
export const bt2020: Primaries = {
  red: [0.708, 0.292],
  green: [0.17, 0.797],
  blue: [0.131, 0.046],
  white: whiteD65,
};
/** SMPTE EG 432-1. */
export const p3D65: Primaries = {
  red: [0.68, 0.32],
  green: [0.265, 0.69],
  blue: [0.15, 0.06],
  white: whiteD65,
};

/**
 * The matrix from linear RGB to XYZ, RGB (1, 1, 1) being the white at Y = 1.
 *
 * Source: SMPTE RP 177, the normalised primary matrix.
 */
export function rgbToXyzMatrix({ red, green, blue, white }: Primaries): Matrix3 {
  const [r, g, b] = [chromaticityToXyz(red), chromaticityToXyz(green), chromaticityToXyz(blue)];
  const columns: Matrix3 = [
    [r[0], g[0], b[0]],
    [r[1], g[1], b[1]],
    [r[2], g[2], b[2]],
  ];
  const amounts = applyMatrix3(invertMatrix3(columns), chromaticityToXyz(white));
  return multiplyMatrix3(columns, diagonal3(amounts));
}
