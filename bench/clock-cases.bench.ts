import { isMainThread, parentPort, Worker, workerData } from "node:worker_threads";
import { type CaseOutcome, runCase } from "./clock-case.ts";
import { rowsOf } from "./clock-rows.ts";
import type { Bench } from "./row.ts";

const cases = Number(process.env.CASES ?? 200);
/** Seeds that nothing was tried on while the chapter was made. */
const firstSeed = Number(process.env.SEED ?? 1000);
const workers = 2;

/** Clock on whole simulated sittings by seed; `CASES=40` runs the first forty. */
const clockCasesBench: Bench = async function* () {
  const outcomes = (await Promise.all(Array.from({ length: workers }, (_, k) => fromWorker(k)))).flat();
  yield* rowsOf(outcomes);
};
export default clockCasesBench;

function fromWorker(residue: number): Promise<CaseOutcome[]> {
  return new Promise((resolve, reject) => {
    const worker = new Worker(new URL(import.meta.url), { workerData: { residue } });
    const outcomes: CaseOutcome[] = [];
    worker.on("message", (outcome: CaseOutcome) => outcomes.push(outcome));
    worker.on("error", reject);
    worker.on("exit", () => resolve(outcomes));
  });
}

if (!isMainThread && parentPort) {
  const { residue } = workerData as { residue: number };
  for (let seed = firstSeed + residue; seed < firstSeed + cases; seed += workers)
    parentPort.postMessage(await runCase(seed));
}
