import type { CaseOutcome, ClipOutcome } from "./clock-case.ts";
import type { BenchRow } from "./row.ts";

/** The table of a run of cases. */
export function* rowsOf(outcomes: readonly CaseOutcome[]): Generator<BenchRow> {
  const clips = outcomes.flatMap((o) => o.clips);
  const related = clips.filter((c) => c.isRelated);
  const placed = related.filter((c) => c.isPlaced);
  const plain = related.filter((c) => c.seconds > 30 && c.scratchDb >= 0);
  const strangers = clips.filter((c) => !c.isRelated);
  const row = (what: string, unit: string, ours: number, reference: string, theirs: number): BenchRow => ({
    chapter: "clock",
    what,
    unit,
    ours,
    reference,
    theirs,
  });
  const ms = (share: number, of: readonly ClipOutcome[]) =>
    1e3 *
    valueAt(
      of.map((c) => c.error!),
      share,
    );
  const share = (of: readonly ClipOutcome[]) => (100 * of.filter((c) => c.isPlaced).length) / of.length;
  yield row(`placed, of ${related.length} related clips`, "%", share(related), "all", 100);
  yield row(`placed, of ${plain.length} over 30 s at 0 dB or better`, "%", share(plain), "goal", 99);
  yield row(
    `unrelated clips placed, of ${strangers.length}`,
    "",
    strangers.filter((c) => c.isPlaced).length,
    "goal",
    0,
  );
  yield row("largest error at any moment, median", "ms", ms(0.5, placed), "goal", 0.05);
  yield row("largest error at any moment, 90 %", "ms", ms(0.9, placed), "goal for 95 %", 0.3);
  yield row("largest error at any moment, 95 %", "ms", ms(0.95, placed), "goal", 0.3);
  yield row("largest error at any moment, worst", "ms", ms(1, placed), "one picture at 25 a second", 40);
  const told = placed.filter((c) => c.error! <= 4 * c.uncertainty!).length;
  yield row("errors within four stated deviations", "%", (100 * told) / placed.length, "all", 100);
  const long = placed.filter((c) => c.seconds >= 600).map((c) => c.ppmError!);
  if (long.length > 0)
    yield row(
      `worst error of rate, ${long.length} clips from 10 min on`,
      "ppm",
      Math.max(...long),
      "goal",
      0.1,
    );
  yield row("clips with a step that is none", "", placed.filter((c) => c.hasPieces).length, "goal", 0);
  const seconds = outcomes.reduce((sum, o) => sum + o.chapterSeconds, 0);
  const heard = outcomes.reduce((sum, o) => sum + o.soundSeconds, 0);
  yield row("time of the chapter", "s", seconds, "real time of what it heard", heard);
  yield row(
    "resident memory, two workers and their sound",
    "MB",
    process.memoryUsage().rss / 1e6,
    "goal",
    600,
  );
}

function valueAt(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN;
}
