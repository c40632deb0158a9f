import { runCase } from "./clock-case.ts";
import { recordedVoices } from "./clock-recorded.ts";
import { rowsOf } from "./clock-rows.ts";
import type { Bench } from "./row.ts";

const cases = Number(process.env.CASES ?? 40);

/** Clock on simulated sittings of recorded people; nothing where Debian's packages with their speech are not there. */
const clockRecordedBench: Bench = async function* () {
  const voices = recordedVoices(process.env.RECORDED ?? "/");
  if (!voices) return;
  const outcomes = [];
  for (let seed = 3000; outcomes.length < cases; seed++) {
    outcomes.push(await runCase(seed, voices));
    console.error(`recorded speech: ${outcomes.length} of ${cases}`);
  }
  for (const row of rowsOf(outcomes)) yield { ...row, what: `recorded speech: ${row.what}` };
};
export default clockRecordedBench;
