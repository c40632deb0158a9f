import { bradfordAdaptation } from "./bradford.ts";
import { chart24White } from "./chart24.ts";
import { applyMatrix3, invertMatrix3, multiplyMatrix3, type Triple } from "./matrix3.ts";
import { bt709, rgbToXyzMatrix } from "./primaries.ts";
import { linearToBt709, linearToSrgb } from "./transfer-functions.ts";
import { chromaticityToXyz, whiteD65 } from "./white-points.ts";

const d50ToBt709 = multiplyMatrix3(
  invertMatrix3(rgbToXyzMatrix(bt709)),
  bradfordAdaptation(chart24White, chromaticityToXyz(whiteD65)),
);
// Rec. ITU-R BT.709-6, item 3.2.
const luma: Triple = [0.2126, 0.7152, 0.0722];

/** Light at which the shoulder begins: below it the picture is as the chart says. */
const shoulderFrom = 0.65;
/** Scene light, of a perfect diffuser 1, that just reaches the screen's white. */
const whiteAt = 6;

/** Linear BT.709 light of a colour seen under D50 (Y = 1 a perfect diffuser), unclipped. */
export function d50ToLinearBt709(xyz: Triple): Triple {
  return applyMatrix3(d50ToBt709, xyz);
}

/** sRGB code values of a colour seen under D50, clipped to the screen: for patches on a page. */
export function d50ToSrgb(xyz: Triple): Triple {
  const light = d50ToLinearBt709(xyz);
  return [0, 1, 2].map((c) => linearToSrgb(Math.min(1, Math.max(0, light[c]!)))) as unknown as Triple;
}

/**
 * A pleasant BT.709 picture of scene light: mid grey where the camera standard puts it, a soft shoulder above, no
 * channel cut off on its own.
 *
 * Highlights are brought under white by their brightest channel, so that hue stays, and lose colour as they near
 * it; colours outside BT.709 are drawn towards their own grey until they fit.
 *
 * @param xyz - Under D50, Y = 1 a perfect diffuser.
 * @returns Code values, 0 to 1. Source of the encoding: Rec. ITU-R BT.709-6, item 1.2; the shoulder is ours.
 */
export function d50ToDisplayBt709(xyz: Triple): Triple {
  const light = d50ToLinearBt709(xyz);
  const grey = Math.max(0, light[0] * luma[0] + light[1] * luma[1] + light[2] * luma[2]);
  // Into the screen's gamut from below: as little towards grey as makes the least channel 0.
  const least = Math.min(...light);
  const keep = least < 0 && grey > least ? grey / (grey - least) : 1;
  const inside = light.map((v) => Math.max(0, grey + (v - grey) * keep));
  const peak = Math.max(...inside);
  if (peak <= 1e-9) return [0, 0, 0];
  const shown = shoulder(peak);
  const scale = shown / peak;
  // Of what the shoulder takes away, part goes into paling: a lamp is white, not a flat yellow.
  const pale = 0.7 * Math.max(0, 1 - scale) ** 1.5;
  return inside.map((v) => {
    const kept = v * scale;
    return linearToBt709(Math.min(1, kept + (shown - kept) * pale));
  }) as unknown as Triple;
}

/** Straight up to its start, then log1p(b·t)/b, which begins with slope 1 and reaches 1 at {@link whiteAt}. */
function shoulder(x: number): number {
  if (x <= shoulderFrom) return x;
  const t = (x - shoulderFrom) / (1 - shoulderFrom);
  return Math.min(1, shoulderFrom + ((1 - shoulderFrom) * Math.log1p(bend * t)) / bend);
}

const bend = bendThatEndsAt((whiteAt - shoulderFrom) / (1 - shoulderFrom));

/** The b for which log1p(b·end)/b is 1, by halving. */
function bendThatEndsAt(end: number): number {
  let low = 1e-6;
  let high = 100;
  for (let i = 0; i < 60; i++) {
    const b = (low + high) / 2;
    if (Math.log1p(b * end) / b > 1) low = b;
    else high = b;
  }
  return (low + high) / 2;
}
