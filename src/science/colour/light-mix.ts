import {
  type ColourMix,
  leastSquaresMix,
  type MixLevel,
  type MixTask,
  mixOf,
  mixTerms,
  termsOf,
} from "./colour-mix.ts";
import { leastSquares } from "./linear-solve.ts";
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
const mostRounds = 12;

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
  const own = task.whiteTo.map((w, row) => w / Math.max(whiteTerms[row]!, 1e-9));
  let weights = start.weights;
  // Huber's fit by weighted least squares, the weights renewed until they settle; the three channels part but for them.
  for (let round = 0; round < mostRounds; round++) {
    const says = terms.map((t, i) => {
      const got = mixTerms(weights, t);
      const size = Math.hypot(...got.map((v, c) => (v - wanted[i]![c]!) * scales[i]![c]!));
      return trust[i]! * Math.sqrt(Math.min(1, robustFrom / Math.max(size, 1e-9)));
    });
    const next = [0, 1, 2].map((c) => {
      const rows = terms.map((t, i) => t.map((v) => v * says[i]! * scales[i]![c]!));
      const right = wanted.map((light, i) => light[c]! * says[i]! * scales[i]![c]!);
      const whiteSays = 1 / (whiteSpread * task.whiteTo[c]!);
      rows.push(whiteTerms.map((v) => v * whiteSays));
      right.push(task.whiteTo[c]! * whiteSays);
      for (let k = 3; k < n; k++) {
        rows.push(range(n).map((j) => (j === k ? rootRidge / own[c]! : 0)));
        right.push(0);
      }
      return leastSquares(rows, right);
    });
    if (next.some((row) => row === null)) break;
    const moved = Math.max(
      ...next.flatMap((row, c) => row!.map((v, k) => Math.abs(v - weights[c]![k]!) / own[c]!)),
    );
    weights = next as number[][];
    if (moved < 1e-6) break;
  }
  return mixOf(level, weights);
}

function range(n: number): number[] {
  return Array.from({ length: n }, (_, i) => i);
}
