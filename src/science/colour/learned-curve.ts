import { correctedCurve, type Shape } from "./bend-curve.ts";
import type { Curve } from "./curve.ts";
import { greyMisses, greyResidual, type NeutralSample, oneShot, shotsOf } from "./grey-misses.ts";
import { levenbergMarquardt } from "./levenberg-marquardt.ts";
import type { Triple } from "./matrix3.ts";

/** A curve learned from greys. */
export interface LearnedCurve {
  readonly curve: Curve;
  /** Light that each channel got more than green: the camera's white, as the curve sees it. */
  readonly gains: Triple;
  /** Root mean square of what the curve leaves, in code values. */
  readonly residual: number;
}

/** Below this light (of a perfect diffuser, 1) the curve goes on straight: no chart has a darker patch. */
const straightBelow = 0.01;
/**
 * Learns a camera's curve from a chart's greys where its file does not say which it is.
 *
 * One rising family covers gamma-like and log-like cameras: code = d + a·((x + c)^γ − 1)/γ, which is a logarithm as
 * γ → 0 (Box & Cox 1964). The channels share it and differ by one gain each. What it leaves at the greys (a
 * shoulder, a toe) is corrected by a rising piecewise-cubic curve, and held constant beyond them. Outside the
 * greys' range it is an extrapolation: smooth and rising, not known.
 *
 * @param samples - At least four greys of each shot. Two exposures of one chart tell more of the curve than one.
 */
export function learnCurve(samples: readonly NeutralSample[]): LearnedCurve {
  const otherShots = shotsOf(samples) - 1;
  const exposuresOf = (p: readonly number[]): number[] => p.slice(shapeParameters).map(Math.exp);
  const residuals = (p: readonly number[]): Float64Array => {
    const shape = shapeOf(p);
    const misses = greyMisses(shape.toCode, samples, gainsOf(p), exposuresOf(p));
    const out = new Float64Array(misses.length + 3);
    out.set(misses);
    // Gentle pulls to the middle of what cameras do, so that five numbers never chase noise.
    out[misses.length] = (p[2]! + 2) / 2.5;
    out[misses.length + 1] = (p[1]! + 6) / 1.5;
    out[misses.length + 2] = Math.max(0, -0.02 - shape.toCode(0)) / 0.02;
    return out;
  };
  const first = samples.filter(({ shot = 0 }) => shot === 0);
  const starts = [-4, -1, 0.3].flatMap((t) =>
    [-6, -3.5].map((logC) => {
      const start = startFrom(first, t, logC);
      const { toLight } = shapeOf(start);
      // Each further shot's exposure, by its own middle grey under that curve.
      const exposures = Array.from({ length: otherShots }, (_, k) => {
        const own = samples.filter(({ shot = 0 }) => shot === k + 1);
        const { light, code } = own[own.length >> 1]!;
        return Math.log(Math.max(toLight(code[1]), 1e-4) / light[1]);
      });
      return [...start, ...exposures];
    }),
  );
  const best = starts
    .map((start) => levenbergMarquardt(residuals, start, { maxSteps: 80 }))
    .reduce((a, b) => (b.cost < a.cost ? b : a));
  const shape = shapeOf(best.parameters);
  const gains = gainsOf(best.parameters);
  const together = oneShot(samples, exposuresOf(best.parameters));
  const { toCode, toLight } = correctedCurve(shape, together, gains);
  return {
    curve: { name: "learned from the chart", known: "learned", toLight, toCode },
    gains,
    residual: greyResidual(toCode, together, gains),
  };
}

/** How many of the parameters are the curve's and the camera's white's; exposures of further shots follow. */
const shapeParameters = 6;

/** Parameters: log a, log c, logit of γ/1.1, d, log gain of red, log gain of blue. */
function shapeOf(p: readonly number[]): Shape {
  const a = Math.exp(p[0]!);
  const c = Math.exp(p[1]!);
  const g = 1.1 / (1 + Math.exp(-p[2]!));
  const d = p[3]!;
  const curved = (x: number): number => d + (a * ((x + c) ** g - 1)) / g;
  const bendCode = curved(straightBelow);
  const slope = a * (straightBelow + c) ** (g - 1);
  return {
    toCode: (x) => (x < straightBelow ? bendCode + slope * (x - straightBelow) : curved(x)),
    toLight: (code) =>
      code < bendCode
        ? straightBelow + (code - bendCode) / slope
        : Math.max((g * (code - d)) / a + 1, 1e-12) ** (1 / g) - c,
  };
}

function gainsOf(p: readonly number[]): Triple {
  return [Math.exp(p[4]!), 1, Math.exp(p[5]!)];
}

/** For a given γ and c the scale and the shift follow from a straight-line fit of green. */
function startFrom(samples: readonly NeutralSample[], t: number, logC: number): number[] {
  const g = 1.1 / (1 + Math.exp(-t));
  const xs = samples.map(({ light }) => ((light[1] + Math.exp(logC)) ** g - 1) / g);
  const ys = samples.map(({ code }) => code[1]);
  const mx = mean(xs);
  const my = mean(ys);
  const slope =
    xs.reduce((sum, x, i) => sum + (x - mx) * (ys[i]! - my), 0) /
    xs.reduce((sum, x) => sum + (x - mx) ** 2, 1e-12);
  const a = Math.max(slope, 1e-3);
  return [Math.log(a), logC, t, my - a * mx, 0, 0];
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, v) => sum + v, 0) / values.length;
}
