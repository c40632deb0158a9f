import { chartlessTrial, chartTrial } from "#science/vision/chart-trials";
import { findChart } from "#science/vision/find-chart";
import { decodedClips } from "./colour-clip.ts";
import { findInAll, type Trials } from "./colour-trials.ts";
import type { BenchRow } from "./row.ts";

const chapter = "colour";
const small = { width: 640, height: 360 };
const firstSeed = 20_000;

const trials: readonly (Trials & { readonly name: string; readonly least: number | string })[] = [
  { name: "clean", count: 200, wish: { ...small, hard: false }, least: 99 },
  { name: "hard", count: 200, wish: { ...small, hard: true }, least: 95 },
  { name: "hard, a thumb over a corner", count: 100, wish: { ...small, hard: true, thumb: true }, least: 95 },
  {
    name: "half of it in a shade of a stop",
    count: 100,
    wish: { ...small, hard: false, shadeStops: 1 },
    least: 95,
  },
  {
    name: "hard, one to nine patches outside the picture",
    count: 100,
    wish: { ...small, hard: true, cut: [1, 9] },
    least: "as many that are whole",
  },
].map((one) => ({ ...one, firstSeed, wish: one.wish as Trials["wish"] }));
const none = { firstSeed, count: 500, wish: { ...small, hard: false }, none: true } as const;

/** How surely, how exactly and how fast the chart is found, on drawn pictures with known truth. */
export default async function* findingBench(): AsyncGenerator<BenchRow> {
  const found = await findInAll([...trials, none]);
  const good = (k: number): number =>
    (100 * found[k]!.filter((error) => error < 0.1).length) / trials[k]!.count;
  const hard = trials.findIndex(({ name }) => name === "hard");
  for (const [k, { name, count, least }] of trials.entries()) {
    const errors = [...found[k]!].sort((a, b) => a - b);
    yield {
      chapter,
      what: `charts found to a tenth of a patch, ${count} pictures, ${name}`,
      unit: "%",
      ours: good(k),
      reference: typeof least === "number" ? "the least asked for" : least,
      theirs: typeof least === "number" ? least : good(hard),
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
  yield {
    chapter,
    what: `finds in ${none.count} pictures of grids and shelves without a chart`,
    unit: "",
    ours: found.at(-1)!.length,
    reference: "the most allowed",
    theirs: 0,
  };
  yield* times();
}

/** Time of the processor, measured when nothing else of this run is at work. */
async function* times(): AsyncGenerator<BenchRow> {
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
      ours: 1000 * (await processorSeconds(() => findChart(picture), 5)),
      reference: "the limit set for it",
      theirs: 150,
    };
  for (const clip of decodedClips())
    yield {
      chapter,
      what: `looking for the chart in ${clip.what}, after decoding, time of the processor`,
      unit: "s",
      ours: await processorSeconds(clip.look, clip.seconds > 60 ? 1 : 3),
      reference: clip.seconds > 60 ? "a twentieth of real time" : "the limit set for it",
      theirs: clip.seconds > 60 ? clip.seconds / 20 : 3,
    };
}

/** Least time of the processor over a few rounds: others may share the machine. */
async function processorSeconds(work: () => unknown, rounds: number): Promise<number> {
  let best = Number.POSITIVE_INFINITY;
  for (let round = 0; round < rounds; round++) {
    const before = process.cpuUsage();
    await work();
    const { user, system } = process.cpuUsage(before);
    best = Math.min(best, (user + system) / 1e6);
  }
  return best;
}
