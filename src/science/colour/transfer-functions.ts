/*
 * Light to code value and back, as the standards write them. Light is linear; 1 is the signal's white unless the
 * name says candela. Code values are full range, 0 to 1. Below zero each function goes on as an odd function or
 * along its straight part, so that noise about black keeps its mean.
 */

const oddly =
  (f: (x: number) => number) =>
  (x: number): number =>
    x < 0 ? -f(-x) : f(x);

// Rec. ITU-R BT.709-6, item 1.2. With the standard's rounded 1.099 and 0.018 the two parts miss each other by 2e-4;
// the inverse switches at the lower of the two values.
/** BT.709 code value of scene light, both 0 to 1 and odd about 0. */
export const linearToBt709: (light: number) => number = oddly((L) =>
  L < 0.018 ? 4.5 * L : 1.099 * L ** 0.45 - 0.099,
);
/** Scene light of a BT.709 code value. */
export const bt709ToLinear: (code: number) => number = oddly((V) =>
  V < 0.081 ? V / 4.5 : ((V + 0.099) / 1.099) ** (1 / 0.45),
);

// IEC 61966-2-1.
/** sRGB code value of display light, both 0 to 1 and odd about 0. */
export const linearToSrgb: (light: number) => number = oddly((E) =>
  E <= 0.0031308 ? 12.92 * E : 1.055 * E ** (1 / 2.4) - 0.055,
);
/** Display light of an sRGB code value. */
export const srgbToLinear: (code: number) => number = oddly((V) =>
  V <= 0.04045 ? V / 12.92 : ((V + 0.055) / 1.055) ** 2.4,
);

/** Display luminance of a code value. Source: Rec. ITU-R BT.1886, Annex 1. `black` and `white` in cd/m², or 0 and 1. */
export function bt1886ToLuminance(code: number, black = 0, white = 1): number {
  const rootWhite = white ** (1 / 2.4);
  const rootBlack = black ** (1 / 2.4);
  const a = (rootWhite - rootBlack) ** 2.4;
  const b = rootBlack / (rootWhite - rootBlack);
  return a * Math.max(code + b, 0) ** 2.4;
}

// SMPTE ST 2084; Rec. ITU-R BT.2100-2, Table 4.
const m1 = 2610 / 16384;
const m2 = 2523 / 32;
const c1 = 3424 / 4096;
const c2 = 2413 / 128;
const c3 = 2392 / 128;
/** PQ code value, 0 to 1, of a luminance from 0 to 10 000 cd/m². */
export function luminanceToPq(candelaPerSquareMetre: number): number {
  const y = (Math.max(candelaPerSquareMetre, 0) / 10_000) ** m1;
  return ((c1 + c2 * y) / (1 + c3 * y)) ** m2;
}
/** Luminance in cd/m² of a PQ code value. */
export function pqToLuminance(code: number): number {
  const n = Math.max(code, 0) ** (1 / m2);
  return 10_000 * (Math.max(n - c1, 0) / (c2 - c3 * n)) ** (1 / m1);
}

// Rec. ITU-R BT.2100-2, Table 5 (also ARIB STD-B67).
const hlgA = 0.17883277;
const hlgB = 1 - 4 * hlgA;
const hlgC = 0.5 - hlgA * Math.log(4 * hlgA);
/** HLG code value of scene light, both 0 to 1 and odd about 0. */
export const linearToHlg: (light: number) => number = oddly((E) =>
  E <= 1 / 12 ? Math.sqrt(3 * E) : hlgA * Math.log(12 * E - hlgB) + hlgC,
);
/** Scene light of an HLG code value. */
export const hlgToLinear: (code: number) => number = oddly((V) =>
  V <= 0.5 ? (V * V) / 3 : (Math.exp((V - hlgC) / hlgA) + hlgB) / 12,
);

// Academy S-2016-001.
const acesSlope = 10.5402377416545;
const acesOffset = 0.0729055341958355;
/** ACEScct code value of scene light, 0.18 a mid grey. */
export function linearToAcescct(light: number): number {
  return light <= 0.0078125 ? acesSlope * light + acesOffset : (Math.log2(light) + 9.72) / 17.52;
}
/** Scene light of an ACEScct code value. */
export function acescctToLinear(code: number): number {
  return code <= 0.155251141552511 ? (code - acesOffset) / acesSlope : 2 ** (code * 17.52 - 9.72);
}
