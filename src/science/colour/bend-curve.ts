import type { Curve } from "./curve.ts";
import { type NeutralSample, oneShot, shotsOf } from "./grey-misses.ts";
import type { Triple } from "./matrix3.ts";
import { mergeClose, risingCurve, risingOnly } from "./rising-curve.ts";

/** A correction smaller than this, in code values, is the paper's spread and not the camera's. */
const leastCorrection = 0.004;

/** The two ways of a curve. */
export interface Shape {
  /** Code value, 0..1, of scene light, 1 at a perfect white. */
  readonly toCode: (light: number) => number;
  /** The way back. */
  readonly toLight: (code: number) => number;
}

/**
 * A known curve bent to a chart's greys: for cameras that follow a standard up to a knee or a lifted black.
 *
 * The base is believed in shape; one gain a channel is taken out (the middle greys decide it) and what is left at
 * the greys is corrected as for a learned curve.
 */
export function bendCurve(base: Curve, samples: readonly NeutralSample[]): Curve {
  const ratios = (shot: number, c: number): number[] =>
    samples
      .filter((sample) => (sample.shot ?? 0) === shot)
      .map(({ light, code }) => Math.log(Math.max(base.toLight(code[c]!), 1e-6) / light[c]!));
  const gains = [0, 1, 2].map((c) => Math.exp(middle(ratios(0, c)))) as unknown as Triple;
  const exposures = Array.from({ length: shotsOf(samples) - 1 }, (_, k) =>
    Math.exp(middle([0, 1, 2].flatMap((c) => ratios(k + 1, c).map((v) => v - Math.log(gains[c]!))))),
  );
  const bent = correctedCurve(base, oneShot(samples, exposures), gains);
  return { name: `${base.name}, bent to the chart's greys`, known: base.known, ...bent };
}

function middle(values: readonly number[]): number {
  return [...values].sort((p, q) => p - q)[Math.floor(values.length / 2)] ?? 0;
}

/** A curve corrected by what it leaves at the greys; the channels share it, each at its own gain. */
export function correctedCurve(shape: Shape, samples: readonly NeutralSample[], gains: Triple): Shape {
  const knots = mergeClose(
    samples
      .flatMap(({ light, code }) =>
        light.map((x, c) => ({ from: shape.toCode(x * gains[c]!), to: code[c]! })),
      )
      .sort((p, q) => p.from - q.from),
  );
  const off = Math.sqrt(mean(knots.map(({ from, to }) => (to - from) ** 2)));
  if (off < leastCorrection || !risingOnly(knots)) return shape;
  const there = risingCurve(knots);
  const back = risingCurve(knots.map(({ from, to }) => ({ from: to, to: from })));
  return {
    toCode: (light) => there(shape.toCode(light)),
    // The curve back is drawn through the same knots; one secant step brings the two together.
    toLight: (code) => {
      let plain = back(code);
      for (let step = 0; step < 8; step++) {
        const miss = there(plain) - code;
        if (Math.abs(miss) < 1e-9) break;
        plain -= (miss * 1e-4) / Math.max(there(plain + 1e-4) - there(plain), 1e-6);
      }
      return shape.toLight(plain);
    },
  };
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, v) => sum + v, 0) / values.length;
}
