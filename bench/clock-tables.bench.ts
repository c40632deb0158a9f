import clockBench from "./clock.bench.ts";
import casesBench from "./clock-cases.bench.ts";
import recordedBench from "./clock-recorded.bench.ts";
import scaleBench from "./clock-scale.bench.ts";
import strangersBench from "./clock-strangers.bench.ts";
import type { Bench, BenchRow } from "./row.ts";
import { cellsOf, writeTable } from "./write-table.ts";

/*
 * Measures all that docs/clock-bench.md tells, and writes the figures into it, between its markers: no number there is
 * typed by hand. `ONLY=cases,scale` does some; `OUT`, `KEEP` and `RECORDED` are those of the parts.
 */

const parts: Readonly<Record<string, Bench>> = {
  cases: casesBench,
  recorded: recordedBench,
  strangers: strangersBench,
  correlation: clockBench,
  scale: scaleBench,
};
const only = process.env.ONLY?.split(",") ?? Object.keys(parts);

/** Every figure of the page, in one run. */
const clockTablesBench: Bench = async function* () {
  for (const name of only) {
    const all: BenchRow[] = [];
    for await (const row of parts[name]!()) {
      all.push(row);
      yield row;
    }
    // Recorded speech that is not there, or a library beside which nothing could be measured, leaves the table as it was.
    if (all.length > 0) writeTable("docs/clock-bench.md", name, cellsOf(all));
  }
};
export default clockTablesBench;
