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
  const told = (at: number) =>
    1e3 *
    valueAt(
      placed.map((c) => c.uncertainty!),
      at,
    );
  const share = (of: readonly ClipOutcome[]) =>
    (100 * of.filter((c) => c.isPlaced).length) / Math.max(1, of.length);
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
  for (const [which, some] of [
    ["whose direct sound is outshone", placed.filter((c) => c.isOutshone)],
    ["whose direct sound is not", placed.filter((c) => !c.isOutshone)],
  ] as const)
    if (some.length > 0) {
      yield row(`the same, 95 % of the ${some.length} ${which}`, "ms", ms(0.95, some), "goal", 0.3);
      yield row("worst of these", "ms", ms(1, some), "one picture at 25 a second", 40);
    }
  const sure = placed.filter((c) => c.uncertainty! <= 0.001);
  yield row(`the same, 95 % of the ${sure.length} that say 1 ms or less`, "ms", ms(0.95, sure), "goal", 0.3);
  yield row("worst of these", "ms", ms(1, sure), "what they say", 1);
  yield row("stated deviation, median", "ms", told(0.5), "median error", ms(0.5, placed));
  yield row("the same, 90 %", "ms", told(0.9), "90 % of errors", ms(0.9, placed));
  yield row("the same, 95 %", "ms", told(0.95), "95 % of errors", ms(0.95, placed));
  const beyond = placed.filter((c) => c.error! > 4 * c.uncertainty!).length;
  yield row("errors beyond four stated deviations", "", beyond, "goal", 0);
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
}

function valueAt(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN;
}
