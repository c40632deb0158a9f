import type { Curve } from "./curve.ts";
import { levenbergMarquardt } from "./levenberg-marquardt.ts";
import type { Triple } from "./matrix3.ts";

/** A grey of known light and what the camera made of it. */
export interface NeutralSample {
  /** Linear light of each channel up to one gain a channel: the grey's reflectance. Above 0. */
  readonly light: Triple;
  /** Code values, 0 to 1. */
  readonly code: Triple;
}

export interface LearnedCurve {
  readonly curve: Curve;
  /** Light that each channel got more than green: the camera's white, as the curve sees it. */
  readonly gains: Triple;
  /** Root mean square of what the curve leaves, in code values. */
  readonly residual: number;
}

/** Below this light (of a perfect diffuser, 1) the curve goes on straight: no chart has a darker patch. */
const straightBelow = 0.01;
/** Code values: quantisation and compression, after averaging a patch. */
const codeNoise = 0.0015;
/** How far a chart's greys may lie from the published reflectances: part of it, and stray light as a fixed amount. */
const paperSpread = 0.02;
const flareSpread = 0.001;
/** A correction smaller than this, in code values, is the paper's spread and not the camera's. */
const leastCorrection = 0.004;

/**
 * Learns a camera's curve from a chart's greys where its file does not say which it is.
 *
 * One rising family covers gamma-like and log-like cameras: code = d + a·((x + c)^γ − 1)/γ, which is a logarithm as
 * γ → 0 (Box & Cox 1964). The channels share it and differ by one gain each. What it leaves at the greys (a
 * shoulder, a toe) is corrected by a rising piecewise-cubic curve, and held constant beyond them. Outside the
 * greys' range it is an extrapolation: smooth and rising, not known.
 *
 * @param samples - At least four greys.
 */
export function learnCurve(samples: readonly NeutralSample[]): LearnedCurve {
  const residuals = (p: readonly number[]): Float64Array => {
    const shape = shapeOf(p);
    const gains = gainsOf(p);
    const out = new Float64Array(samples.length * 3 + 3);
    samples.forEach(({ light, code }, i) => {
      for (let c = 0; c < 3; c++) {
        const x = light[c]! * gains[c]!;
        const plain = shape.toCode(x);
        const doubt = x * paperSpread + flareSpread;
        const sigma = Math.hypot(codeNoise, shape.toCode(x + doubt) - plain);
        out[i * 3 + c] = (plain - code[c]!) / sigma;
      }
    });
    // Gentle pulls to the middle of what cameras do, so that five numbers never chase noise.
    out[samples.length * 3] = (p[2]! + 2) / 2.5;
    out[samples.length * 3 + 1] = (p[1]! + 6) / 1.5;
    out[samples.length * 3 + 2] = Math.max(0, -0.02 - shape.toCode(0)) / 0.02;
    return out;
  };
  const starts = [-4, -1, 0.3].flatMap((t) => [-6, -3.5].map((logC) => startFrom(samples, t, logC)));
  const best = starts
    .map((start) => levenbergMarquardt(residuals, start, { maxSteps: 80 }))
    .reduce((a, b) => (b.cost < a.cost ? b : a));
  const shape = shapeOf(best.parameters);
  const gains = gainsOf(best.parameters);

  const { toCode, toLight } = correctedCurve(shape, samples, gains);
  let squares = 0;
  for (const { light, code } of samples) {
    for (let c = 0; c < 3; c++) squares += (toCode(light[c]! * gains[c]!) - code[c]!) ** 2;
  }
  return {
    curve: { name: "learned from the chart", known: "learned", toLight, toCode },
    gains,
    residual: Math.sqrt(squares / (samples.length * 3)),
  };
}

/**
 * A known curve bent to a chart's greys: for cameras that follow a standard up to a knee or a lifted black.
 *
 * The base is believed in shape; one gain a channel is taken out (the middle greys decide it) and what is left at
 * the greys is corrected as {@link learnCurve} does.
 */
export function bendCurve(base: Curve, samples: readonly NeutralSample[]): Curve {
  const gains = [0, 1, 2].map((c) => {
    const logs = samples
      .map(({ light, code }) => Math.log(Math.max(base.toLight(code[c]!), 1e-6) / light[c]!))
      .sort((p, q) => p - q);
    return Math.exp(logs[Math.floor(logs.length / 2)]!);
  }) as unknown as Triple;
  const bent = correctedCurve(base, samples, gains);
  return { name: `${base.name}, bent to the chart's greys`, known: "tag", ...bent };
}

/** A curve corrected by what it leaves at the greys; the channels share it, each at its own gain. */
function correctedCurve(shape: Shape, samples: readonly NeutralSample[], gains: Triple): Shape {
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

interface Shape {
  readonly toCode: (light: number) => number;
  readonly toLight: (code: number) => number;
}

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

interface Knot {
  readonly from: number;
  readonly to: number;
}

/** Points nearer than this, in code values, are one knot: their difference is noise and not the curve's. */
const oneKnot = 0.015;

/** Neighbouring points as one at their mean, for as long as they lie close or do not rise. */
function mergeClose(points: readonly Knot[]): Knot[] {
  const groups: { from: number; to: number; n: number }[] = [];
  for (const { from, to } of points) {
    groups.push({ from, to, n: 1 });
    for (let last = groups.length - 1; last > 0; last--) {
      const [p, q] = [groups[last - 1]!, groups[last]!];
      if (q.from - p.from > oneKnot && q.to - p.to > 0.1 * (q.from - p.from)) break;
      const n = p.n + q.n;
      groups.splice(last - 1, 2, {
        from: (p.from * p.n + q.from * q.n) / n,
        to: (p.to * p.n + q.to * q.n) / n,
        n,
      });
    }
  }
  return groups;
}

/** Knots far enough apart and rising, as a curve must. */
function risingOnly(knots: readonly Knot[]): boolean {
  return knots.every((knot, i) => {
    const before = knots[i - 1];
    return before === undefined || (knot.from - before.from > 1e-4 && knot.to - before.to > 1e-4);
  });
}

/**
 * A rising cubic through knots; outside them it goes on straight, above as steep as between the last two: a knee goes
 * on bending. Source: Fritsch & Carlson 1980, SIAM J. Numer. Anal. 17(2).
 */
function risingCurve(knots: readonly Knot[]): (x: number) => number {
  const n = knots.length;
  const secants = knots.slice(1).map((knot, i) => (knot.to - knots[i]!.to) / (knot.from - knots[i]!.from));
  const slopes = knots.map((_, i) => {
    const before = secants[i - 1] ?? secants[i] ?? 1;
    const after = secants[i] ?? before;
    const harmonic = (2 * before * after) / (before + after);
    return Math.min(harmonic, 3 * Math.min(before, after));
  });
  return (x) => {
    const first = knots[0]!;
    const last = knots[n - 1]!;
    if (x <= first.from) return first.to + slopes[0]! * (x - first.from);
    if (x >= last.from) return last.to + slopes[n - 1]! * (x - last.from);
    let i = 0;
    while (knots[i + 1]!.from < x) i++;
    const p = knots[i]!;
    const q = knots[i + 1]!;
    const h = q.from - p.from;
    const t = (x - p.from) / h;
    const u = 1 - t;
    return (
      p.to * (1 + 2 * t) * u * u +
      q.to * (3 - 2 * t) * t * t +
      h * t * u * (slopes[i]! * u - slopes[i + 1]! * t)
    );
  };
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, v) => sum + v, 0) / values.length;
}
