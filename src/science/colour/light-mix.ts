import {
  type ColourMix,
  leastSquaresMix,
  type MixLevel,
  type MixTask,
  mixOf,
  mixTerms,
  termsOf,
} from "./colour-mix.ts";
import { levenbergMarquardt } from "./levenberg-marquardt.ts";
import type { Triple } from "./matrix3.ts";

/** Differences beyond this weigh in proportion and not by their square (Huber): one odd patch cannot pull the rest. */
const robustFrom = 1.5;
/** What a root term costs for leaving zero; keeps colours outside the chart's gamut from running away. */
const rootRidge = 2;
/** How far the white may move, as a part of it: the greys are read no surer. */
const whiteSpread = 0.01;
/** What half-and-half mixtures of two patches count beside a patch. */
const mixtureTrust = 0.3;
/** Light is judged by its cube root's slope, flattened below a tenth of white where noise and stray light are. */
const flatBelow = 0.1;
/** Brings such a difference to the scale of a lightness unit. */
const lightnessScale = 40;

/**
 * The mix of one camera's linear light that comes nearest to another's, from noisy, compressed patches.
 *
 * Errors are weighed as the eye weighs lightness, but in the cameras' own channels and flattened near black; patches
 * whose noise makes a difference of its own say less (`trust`). Light adds up, so every mixture of two patches is one
 * more pair of colours that both cameras would have seen alike: they teach the dull colours that a chart lacks. The
 * white is held to within a hundredth.
 *
 * Measured: on surfaces off the chart this leaves less than a fit on CIEDE2000 itself, which follows the noise of the
 * dark patches. How much a mix may do is still chosen by CIEDE2000; see `matchCameras`.
 */
export function fitLightMix(task: MixTask, level: MixLevel): ColourMix {
  const start = leastSquaresMix(task, level);
  if (level === "gains") return start;
  const n = start.weights[0]!.length;
  const whiteTerms = termsOf(level, task.whiteFrom);
  const count = task.from.length;
  const pairs = range(count).flatMap((i) => range(i).map((j) => [i, j] as const));
  const half = (all: readonly Triple[], i: number, j: number): Triple => [
    (all[i]![0] + all[j]![0]) / 2,
    (all[i]![1] + all[j]![1]) / 2,
    (all[i]![2] + all[j]![2]) / 2,
  ];
  const trustOf = (i: number): number => task.trust?.[i] ?? 1;
  const terms = [...task.from, ...pairs.map(([i, j]) => half(task.from, i, j))].map((v) => termsOf(level, v));
  const wanted = [...task.to, ...pairs.map(([i, j]) => half(task.to, i, j))];
  const trust = [
    ...range(count).map(trustOf),
    ...pairs.map(([i, j]) => mixtureTrust * Math.hypot(trustOf(i), trustOf(j)) * Math.SQRT1_2),
  ];
  const scales = wanted.map((light) =>
    light.map((v, c) => {
      const part = Math.max(0, v / task.whiteTo[c]!);
      return lightnessScale / task.whiteTo[c]! / (flatBelow + part) ** (2 / 3);
    }),
  );
  const roots = level === "rootPolynomial" ? 9 : 0;
  const own = task.whiteTo.map((w, row) => w / Math.max(whiteTerms[row]!, 1e-9));
  const rowsOf = (p: readonly number[]): number[][] => [0, 1, 2].map((row) => p.slice(row * n, row * n + n));
  const residuals = (p: readonly number[]): Float64Array => {
    const weights = rowsOf(p);
    const m = terms.length * 3;
    const out = new Float64Array(m + 3 + roots);
    for (let i = 0; i < terms.length; i++) {
      const got = mixTerms(weights, terms[i]!);
      let squares = 0;
      for (let c = 0; c < 3; c++) {
        const miss = (got[c]! - wanted[i]![c]!) * scales[i]![c]!;
        out[i * 3 + c] = miss;
        squares += miss * miss;
      }
      const size = Math.sqrt(squares);
      const soften = size <= robustFrom ? 1 : Math.sqrt(2 * robustFrom * size - robustFrom ** 2) / size;
      for (let c = 0; c < 3; c++) out[i * 3 + c] = out[i * 3 + c]! * soften * trust[i]!;
    }
    const white = mixTerms(weights, whiteTerms);
    for (let c = 0; c < 3; c++) out[m + c] = (white[c]! / task.whiteTo[c]! - 1) / whiteSpread;
    for (let k = 0; k < roots; k++) {
      const row = Math.floor(k / 3);
      out[m + 3 + k] = (rootRidge * weights[row]![3 + (k % 3)]!) / own[row]!;
    }
    return out;
  };
  const best = levenbergMarquardt(residuals, start.weights.flat(), { maxSteps: 20, tolerance: 1e-6 });
  return mixOf(level, rowsOf(best.parameters));
}

function range(n: number): number[] {
  return Array.from({ length: n }, (_, i) => i);
}
