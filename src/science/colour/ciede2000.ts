import type { Triple } from "./matrix3.ts";

const degree = Math.PI / 180;
const twentyFive7 = 25 ** 7;

/** Hues exactly opposite differ by one rounding; they count as "not more than 180° apart", as published (pair 14). */
const hueSlackDegrees = 1e-9;

/**
 * How different two colours look: CIEDE2000 with kL = kC = kH = 1.
 *
 * About 1 is the least that a careful eye sees on a seam.
 *
 * @param lab1 - L*, a*, b* of one colour.
 * @param lab2 - L*, a*, b* of the other, under the same white. The order does not matter.
 *
 * Source: Sharma, Wu & Dalal 2005, Color Res. Appl. 30(1) 21-30, equations 2 to 22; ISO/CIE 11664-6.
 *
 * @example
 * Pair 1 of the published table differs by 2.0425.
 * ```ts
 * colourDifferenceCie2000([50, 2.6772, -79.7751], [50, 0, -82.7485]); // 2.0425
 * ```
 */
export function colourDifferenceCie2000(lab1: Triple, lab2: Triple): number {
  const [l, c, h] = colourDifferenceParts(lab1, lab2);
  return Math.sqrt(l * l + c * c + h * h);
}

/**
 * CIEDE2000 as three numbers whose squares add up to its square, for least-squares solvers.
 *
 * The quadratic form of equation 22, C² + H² + RT·C·H, is written as (C + RT·H/2)² + (1 − RT²/4)·H²,
 * which is exact: |RT| is below 2 everywhere.
 */
export function colourDifferenceParts(lab1: Triple, lab2: Triple): Triple {
  const [L1, a1, b1] = lab1;
  const [L2, a2, b2] = lab2;
  const meanC7 = ((Math.hypot(a1, b1) + Math.hypot(a2, b2)) / 2) ** 7; // (2), (3)
  const G = 0.5 * (1 - Math.sqrt(meanC7 / (meanC7 + twentyFive7))); // (4)
  const ap1 = (1 + G) * a1; // (5)
  const ap2 = (1 + G) * a2;
  const Cp1 = Math.hypot(ap1, b1); // (6)
  const Cp2 = Math.hypot(ap2, b2);
  const hp1 = hueDegrees(ap1, b1); // (7)
  const hp2 = hueDegrees(ap2, b2);

  const grey = Cp1 * Cp2 === 0;
  let dhp = grey ? 0 : hp2 - hp1; // (10)
  if (dhp > 180 + hueSlackDegrees) dhp -= 360;
  else if (dhp < -180 - hueSlackDegrees) dhp += 360;
  const dLp = L2 - L1; // (8)
  const dCp = Cp2 - Cp1; // (9)
  const dHp = 2 * Math.sqrt(Cp1 * Cp2) * Math.sin((dhp / 2) * degree); // (11)

  const meanL = (L1 + L2) / 2; // (12)
  const meanC = (Cp1 + Cp2) / 2; // (13)
  let meanH = hp1 + hp2; // (14)
  if (!grey) {
    if (Math.abs(hp1 - hp2) <= 180 + hueSlackDegrees) meanH /= 2;
    else meanH = meanH < 360 ? (meanH + 360) / 2 : (meanH - 360) / 2;
  }
  const T =
    1 -
    0.17 * Math.cos((meanH - 30) * degree) +
    0.24 * Math.cos(2 * meanH * degree) +
    0.32 * Math.cos((3 * meanH + 6) * degree) -
    0.2 * Math.cos((4 * meanH - 63) * degree); // (15)
  const dTheta = 30 * Math.exp(-(((meanH - 275) / 25) ** 2)); // (16)
  const C7 = meanC ** 7;
  const RC = 2 * Math.sqrt(C7 / (C7 + twentyFive7)); // (17)
  const L50 = (meanL - 50) ** 2;
  const SL = 1 + (0.015 * L50) / Math.sqrt(20 + L50); // (18)
  const SC = 1 + 0.045 * meanC; // (19)
  const SH = 1 + 0.015 * meanC * T; // (20)
  const RT = -Math.sin(2 * dTheta * degree) * RC; // (21)

  const l = dLp / SL;
  const c = dCp / SC;
  const h = dHp / SH;
  return [l, c + (RT * h) / 2, Math.sqrt(Math.max(0, 1 - (RT * RT) / 4)) * h]; // (22)
}

function hueDegrees(ap: number, b: number): number {
  if (ap === 0 && b === 0) return 0;
  const hue = Math.atan2(b, ap) / degree;
  return hue < 0 ? hue + 360 : hue;
}
