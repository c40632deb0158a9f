import type { Triple } from "./matrix3.ts";

/** A grey of known light and what the camera made of it. */
export interface NeutralSample {
  /** Linear light of each channel up to one gain a channel: the grey's reflectance. Above 0. */
  readonly light: Triple;
  /** Code values, 0 to 1. */
  readonly code: Triple;
  /** Which shot of the chart it is from, 0 by default: shots differ by one gain of light that nobody knows. */
  readonly shot?: number;
}

/** Code values: quantisation and compression, after averaging a patch. */
const codeNoise = 0.0015;
/** How far a chart's greys may lie from the published reflectances: part of it, and stray light as a fixed amount. */
const paperSpread = 0.02;
const flareSpread = 0.001;

/**
 * How far a curve misses the greys, each miss divided by what noise and paper make of one; three a grey.
 *
 * @param gains - Light that each channel got more than the samples say.
 * @param exposures - Gain of light of each shot but the first.
 */
export function greyMisses(
  toCode: (light: number) => number,
  samples: readonly NeutralSample[],
  gains: Triple,
  exposures: readonly number[],
): Float64Array {
  const out = new Float64Array(samples.length * 3);
  samples.forEach(({ light, code, shot = 0 }, i) => {
    const exposure = shot === 0 ? 1 : exposures[shot - 1]!;
    for (let c = 0; c < 3; c++) {
      const x = light[c]! * gains[c]! * exposure;
      const plain = toCode(x);
      const doubt = x * paperSpread + flareSpread * exposure;
      out[i * 3 + c] = (plain - code[c]!) / Math.hypot(codeNoise, toCode(x + doubt) - plain);
    }
  });
  return out;
}

/** How many shots samples are from. */
export function shotsOf(samples: readonly NeutralSample[]): number {
  return 1 + Math.max(0, ...samples.map(({ shot = 0 }) => shot));
}

/** The samples as if all were from the first shot: the gain of each is put on the light. */
export function oneShot(samples: readonly NeutralSample[], exposures: readonly number[]): NeutralSample[] {
  return samples.map(({ light, code, shot = 0 }) => {
    const k = shot === 0 ? 1 : exposures[shot - 1]!;
    return { light: [light[0] * k, light[1] * k, light[2] * k], code };
  });
}

/** Root mean square of what a curve leaves of greys, in code values. */
export function greyResidual(
  toCode: (light: number) => number,
  samples: readonly NeutralSample[],
  gains: Triple,
): number {
  let squares = 0;
  for (const { light, code } of samples) {
    for (let c = 0; c < 3; c++) squares += (toCode(light[c]! * gains[c]!) - code[c]!) ** 2;
  }
  return Math.sqrt(squares / (samples.length * 3));
}
