import type { Triple } from "./matrix3.ts";

const delta = 6 / 29;

/**
 * CIE 1976 L*a*b* of a colour under a white.
 *
 * @param xyz - Same scale as `white`; values below 0 are allowed and follow the straight part.
 * @param white - XYZ of the white, Y usually 1.
 * @returns L* (0 black, 100 the white), a*, b*.
 *
 * Source: CIE 015:2018, 8.2.1; ISO/CIE 11664-4.
 */
export function xyzToLab(xyz: Triple, white: Triple): Triple {
  const fx = labForward(xyz[0] / white[0]);
  const fy = labForward(xyz[1] / white[1]);
  const fz = labForward(xyz[2] / white[2]);
  return [116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)];
}

/** XYZ of a CIE 1976 L*a*b* colour under a white. Source: CIE 015:2018, Annex C. */
export function labToXyz([L, a, b]: Triple, white: Triple): Triple {
  const fy = (L + 16) / 116;
  return [
    white[0] * labInverse(fy + a / 500),
    white[1] * labInverse(fy),
    white[2] * labInverse(fy - b / 200),
  ];
}

function labForward(t: number): number {
  return t > delta ** 3 ? Math.cbrt(t) : t / (3 * delta * delta) + 4 / 29;
}

function labInverse(f: number): number {
  return f > delta ? f ** 3 : 3 * delta * delta * (f - 4 / 29);
}
