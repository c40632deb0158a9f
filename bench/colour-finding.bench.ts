import { chartCorners } from "#science/vision/chart-place";
import { chartlessTrial, chartTrial, type TrialWish } from "#science/vision/chart-trials";
import { findChart } from "#science/vision/find-chart";
import type { BenchRow } from "./row.ts";

const chapter = "colour";
const small = { width: 640, height: 360 };
const firstSeed = 20_000;

/** How surely, how exactly and how fast the chart is found, on drawn pictures with known truth. */
export default async function* findingBench(): AsyncGenerator<BenchRow> {
  yield* found("clean", 200, { ...small, hard: false }, 99);
  yield* found("hard", 200, { ...small, hard: true }, 95);
  yield* found("hard, a thumb over a corner", 100, { ...small, hard: true, thumb: true }, 95);
  yield* found("half of it in a shade of a stop", 100, { ...small, hard: false, shadeStops: 1 }, 95);
  const none = 500;
  let finds = 0;
  for (let k = 0; k < none; k++) if (findChart(chartlessTrial(firstSeed + k, small))) finds++;
  yield {
    chapter,
    what: `finds in ${none} pictures of grids and shelves without a chart`,
    unit: "",
    ours: finds,
    reference: "the most allowed",
    theirs: 0,
  };
  const large = { width: 3840, height: 2160 };
  const pictures = [
    ["with a chart, clean", chartTrial(1, { ...large, hard: false }).picture],
    ["with a chart, hard", chartTrial(2, { ...large, hard: true }).picture],
    ["of tiles without a chart", chartlessTrial(3, large)],
    ["of swatches without a chart", chartlessTrial(8, large)],
  ] as const;
  for (const [what, picture] of pictures)
    yield {
      chapter,
      what: `a 4K picture ${what}, time of the processor`,
      unit: "ms",
      ours: processorMs(() => findChart(picture)),
      reference: "the limit set for it",
      theirs: 150,
    };
}

/** Share found to a tenth of a patch, and how far the worst corner lies from the truth. */
function* found(name: string, n: number, wish: TrialWish, least: number): Generator<BenchRow> {
  const errors: number[] = [];
  for (let k = 0; k < n; k++) {
    const trial = chartTrial(firstSeed + k, wish);
    const find = findChart(trial.picture);
    if (!find) continue;
    const [p, q] = trial.corners;
    const patch = Math.hypot(q[0] - p[0], q[1] - p[1]) / 6;
    errors.push(
      Math.max(
        ...chartCorners(find.place).map(
          ([x, y], c) => Math.hypot(x - trial.corners[c]![0], y - trial.corners[c]![1]) / patch,
        ),
      ),
    );
  }
  errors.sort((a, b) => a - b);
  yield {
    chapter,
    what: `charts found to a tenth of a patch, ${n} pictures, ${name}`,
    unit: "%",
    ours: (100 * errors.filter((e) => e < 0.1).length) / n,
    reference: "the least asked for",
    theirs: least,
  };
  yield {
    chapter,
    what: `worst corner from the truth, 95 % of those, ${name}`,
    unit: "patches",
    ours: errors[Math.floor(0.95 * errors.length)] ?? Number.NaN,
    reference: "the limit set for it",
    theirs: 0.1,
  };
}

/** Least time of the processor over a few rounds: others may share the machine. */
function processorMs(work: () => unknown, rounds = 5): number {
  let best = Number.POSITIVE_INFINITY;
  for (let round = 0; round < rounds; round++) {
    const before = process.cpuUsage();
    work();
    const { user, system } = process.cpuUsage(before);
    best = Math.min(best, (user + system) / 1000);
  }
  return best;
}
