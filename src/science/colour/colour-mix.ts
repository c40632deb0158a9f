import { colourDifferenceParts } from "./ciede2000.ts";
import { levenbergMarquardt } from "./levenberg-marquardt.ts";
import { leastSquares } from "./linear-solve.ts";
import type { Triple } from "./matrix3.ts";
import { rootPolynomialTerms } from "./root-polynomial.ts";

/** How much a mix may do: a gain a channel; any white-preserving 3×3; a root-polynomial of degree 2. */
export type MixLevel = "gains" | "matrix" | "rootPolynomial";

/** A map from one camera's linear light to another space's, each output a weighted sum of terms of the input. */
export interface ColourMix {
  /** `residual`: one of the others, and a correction in three dimensions on top of it. */
  readonly level: MixLevel | "residual";
  /** Three rows, one an output channel: 3 weights, or 6 for a root-polynomial. */
  readonly weights: readonly (readonly number[])[];
  /** Linear light of the first space to linear light of the second. */
  readonly apply: (light: Triple) => Triple;
}

/** What a mix is fitted to. */
export interface MixTask {
  /** Linear light of the colours in the first space. */
  readonly from: readonly Triple[];
  /** The same colours in the second space. */
  readonly to: readonly Triple[];
  /** A grey in both spaces: the mix takes the one exactly to the other, and so every grey to a grey. */
  readonly whiteFrom: Triple;
  readonly whiteTo: Triple;
  /** L*a*b* of a colour of the second space, to judge by. */
  readonly toLab: (light: Triple) => Triple;
  /** How much each colour says, 1 by default: less where noise alone makes a difference. Heeded by `fitLightMix`. */
  readonly trust?: readonly number[];
}

/** Differences beyond this weigh in proportion and not by their square (Huber): one odd patch cannot pull the rest. */
const robustFrom = 1.5;
/** How dear it is for a root term to leave zero; keeps colours outside the chart's gamut from running away. */
const rootRidge = 0.35;

/**
 * The white-preserving mix that makes the colour differences (CIEDE2000) small.
 *
 * Starts from constrained least squares in linear light and is refined by Levenberg and Marquardt's method on the
 * differences themselves, with Huber's weights.
 *
 * Source: white-preserving least squares: Finlayson & Drew 1997, J. Electron. Imaging 6(4). Terms: Finlayson,
 * Mackiewicz & Hurlbert 2015.
 */
export function fitColourMix(task: MixTask, level: MixLevel): ColourMix {
  const start = leastSquaresMix(task, level);
  if (level === "gains") return start;
  const n = start.weights[0]!.length;
  const whiteTerms = termsOf(level, task.whiteFrom);
  const terms = task.from.map((light) => termsOf(level, light));
  const wanted = task.to.map(task.toLab);
  // White fixes each row's own-channel weight; the others are free.
  const unpack = (p: readonly number[]): number[][] => unpackRows(p, n, whiteTerms, task.whiteTo);
  const scale = task.whiteTo.map((w, row) => w / Math.max(whiteTerms[row]!, 1e-9));
  const rootTerms = level === "rootPolynomial" ? 9 : 0;
  const residuals = (p: readonly number[]): Float64Array => {
    const weights = unpack(p);
    const out = new Float64Array(terms.length * 3 + rootTerms);
    terms.forEach((t, i) => {
      const parts = colourDifferenceParts(task.toLab(mixTerms(weights, t)), wanted[i]!);
      const size = Math.hypot(...parts);
      const soften = size <= robustFrom ? 1 : Math.sqrt(2 * robustFrom * size - robustFrom ** 2) / size;
      for (let c = 0; c < 3; c++) out[i * 3 + c] = parts[c]! * soften;
    });
    for (let k = 0; k < rootTerms; k++) {
      const row = Math.floor(k / 3);
      out[terms.length * 3 + k] = (rootRidge * weights[row]![3 + (k % 3)]!) / scale[row]!;
    }
    return out;
  };
  const best = levenbergMarquardt(residuals, packRows(start.weights), { maxSteps: 40, tolerance: 1e-7 });
  return mixOf(level, unpack(best.parameters));
}

/**
 * The same by plain constrained least squares in linear light, without regard to how differences look: the usual
 * start, and a baseline.
 */
export function leastSquaresMix(task: MixTask, level: MixLevel): ColourMix {
  const whiteTerms = termsOf(level, task.whiteFrom);
  const n = whiteTerms.length;
  const weights: number[][] = [];
  for (let row = 0; row < 3; row++) {
    const others = level === "gains" ? [] : range(n).filter((k) => k !== row);
    const own = whiteTerms[row]!;
    const free =
      others.length === 0
        ? []
        : leastSquares(
            task.from.map((light) => {
              const t = termsOf(level, light);
              return others.map((k) => t[k]! - (t[row]! * whiteTerms[k]!) / own);
            }),
            task.from.map((light, i) => task.to[i]![row]! - (light[row]! * task.whiteTo[row]!) / own),
            1e-6,
          );
    const full = new Array<number>(n).fill(0);
    let rest = task.whiteTo[row]!;
    others.forEach((k, j) => {
      full[k] = free?.[j] ?? 0;
      rest -= full[k]! * whiteTerms[k]!;
    });
    full[row] = rest / own;
    weights.push(full);
  }
  return mixOf(level, weights);
}

/** A mix by its weights. */
export function mixOf(level: MixLevel, weights: readonly (readonly number[])[]): ColourMix {
  return { level, weights, apply: (light) => mixTerms(weights, termsOf(level, light)) };
}

/** The terms that a level mixes. */
export function termsOf(level: MixLevel, light: Triple): readonly number[] {
  return level === "rootPolynomial" ? rootPolynomialTerms(light, 2) : light;
}

/** Weighted sums of terms, one a row. */
export function mixTerms(weights: readonly (readonly number[])[], terms: readonly number[]): Triple {
  const row = (w: readonly number[]): number => {
    let sum = 0;
    for (let k = 0; k < w.length; k++) sum += w[k]! * terms[k]!;
    return sum;
  };
  return [row(weights[0]!), row(weights[1]!), row(weights[2]!)];
}

function packRows(weights: readonly (readonly number[])[]): number[] {
  return weights.flatMap((w, row) => w.filter((_, k) => k !== row));
}

function unpackRows(
  p: readonly number[],
  n: number,
  whiteTerms: readonly number[],
  whiteTo: Triple,
): number[][] {
  let next = 0;
  return [0, 1, 2].map((row) => {
    const full = new Array<number>(n).fill(0);
    let rest = whiteTo[row]!;
    for (let k = 0; k < n; k++) {
      if (k === row) continue;
      full[k] = p[next++]!;
      rest -= full[k]! * whiteTerms[k]!;
    }
    full[row] = rest / whiteTerms[row]!;
    return full;
  });
}

function range(n: number): number[] {
  return Array.from({ length: n }, (_, i) => i);
}
