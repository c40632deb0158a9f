import { appendFileSync, existsSync, readFileSync } from "node:fs";
import { isMainThread, parentPort, Worker, workerData } from "node:worker_threads";
import { type CaseOutcome, runCase } from "./clock-case.ts";
import { rowsOf } from "./clock-rows.ts";
import type { Bench } from "./row.ts";

const cases = Number(process.env.CASES ?? 200);
/** Seeds that nothing was tried on while the chapter was made. */
const firstSeed = Number(process.env.SEED ?? 2000);
/** Outcomes are added to this file, a line of JSON each, and cases that it holds already are not run again. */
const kept = process.env.OUT;
const workers = 2;

/**
 * Clock on whole simulated sittings by seed: `SEED=2000 CASES=40` runs forty from 2000 on; with `OUT=file` a run that was
 * stopped goes on where it was. One line a case on stderr.
 */
const clockCasesBench: Bench = async function* () {
  const isWanted = ({ seed }: CaseOutcome) => seed >= firstSeed && seed < firstSeed + cases;
  const before = kept === undefined ? [] : keptOutcomes(kept).filter(isWanted);
  const done = new Set(before.map(({ seed }) => seed));
  const open = Array.from({ length: cases }, (_, k) => firstSeed + k).filter((seed) => !done.has(seed));
  const outcomes = [...before];
  await Promise.all(
    Array.from({ length: Math.min(workers, open.length) }, () =>
      inWorker(open, (outcome) => {
        outcomes.push(outcome);
        if (kept !== undefined) appendFileSync(kept, `${JSON.stringify(outcome)}\n`);
        console.error(`${outcomes.length} of ${cases}: ${lineOf(outcome)}`);
      }),
    ),
  );
  yield* rowsOf(outcomes.sort((a, b) => a.seed - b.seed));
};
export default clockCasesBench;

/** A run that was stopped in the middle of a line has lost that line. */
function keptOutcomes(path: string): CaseOutcome[] {
  if (!existsSync(path)) return [];
  return readFileSync(path, "utf8")
    .split("\n")
    .flatMap((line) => {
      try {
        return [JSON.parse(line) as CaseOutcome];
      } catch {
        return [];
      }
    });
}

function lineOf({ seed, seconds, clips, chapterSeconds }: CaseOutcome): string {
  const errors = clips
    .filter((c) => c.isRelated)
    .map((c) => (c.error === null ? "none" : (1e3 * c.error).toFixed(3)));
  return `seed ${seed}, ${seconds.toFixed(0)} s, ${chapterSeconds.toFixed(1)} s of work, errors ${errors.join(" ")} ms`;
}

/** Takes one seed after the other from those open until there is none. */
function inWorker(open: number[], tell: (outcome: CaseOutcome) => void): Promise<void> {
  return new Promise((resolve, reject) => {
    const worker = new Worker(new URL(import.meta.url), { workerData: "cases" });
    const next = () => worker.postMessage(open.shift() ?? null);
    worker.on("message", (outcome: CaseOutcome) => {
      tell(outcome);
      next();
    });
    worker.on("error", reject);
    worker.on("exit", () => resolve());
    next();
  });
}

if (!isMainThread && workerData === "cases")
  parentPort!.on("message", async (seed: number | null) => {
    if (seed === null) parentPort!.close();
    else parentPort!.postMessage(await runCase(seed));
  });
