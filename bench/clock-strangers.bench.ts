import { appendFileSync, existsSync, readFileSync } from "node:fs";
import { isMainThread, parentPort, Worker, workerData } from "node:worker_threads";
import { leastFineScore } from "#clock/constants";
import { makePieces, type StrangerScore, strangerScores } from "./clock-strangers.ts";
import type { Bench } from "./row.ts";

/** 142 pieces make 10 011 pairs; `PIECES=30` makes 435. */
const pieces = Number(process.env.PIECES ?? 142);
const seed = Number(process.env.SEED ?? 52_000);
/** `KINDS="music,talk over music"`: of the pieces those of these kinds alone. */
const kinds = process.env.KINDS;
/** `KEEP=file`: every score is added to it, and a run that was cut short goes on where it stopped. */
const keep = process.env.KEEP;
const workers = 2;

interface Told extends StrangerScore {
  readonly residue: number;
}

/** What strangers reach: the ground of the threshold, and the bound on false placements by the rule of three. */
const clockStrangersBench: Bench = async function* () {
  const kept = keep ? keptIn(keep) : [];
  const all = [...kept];
  const tell = (told: Told) => {
    all.push(told);
    if (keep) appendFileSync(keep, `${JSON.stringify({ pieces, seed, only: kinds, ...told })}\n`);
    if (all.length % 100 === 0) console.error(`strangers: ${all.length} pairs`);
  };
  await Promise.all(
    Array.from({ length: workers }, (_, residue) =>
      fromWorker(residue, kept.filter((told) => told.residue === residue).length, tell),
    ),
  );
  const scores = all.map(({ score }) => score);
  const placed = all.filter(({ isPlaced }) => isPlaced).length;
  scores.sort((a, b) => a - b);
  const row = (what: string, ours: number, unit = "", theirs = leastFineScore, reference = "threshold") => ({
    chapter: "clock",
    what,
    unit,
    ours,
    reference,
    theirs,
  });
  const at = (share: number) => scores[Math.floor(share * (scores.length - 1))]!;
  yield row(`likeness of ${scores.length} unrelated pairs, median`, at(0.5));
  yield row("the same, highest hundredth", at(0.99));
  yield row("the same, highest thousandth", at(0.999));
  yield row("the same, highest", at(1));
  yield row("unrelated pairs placed", placed, "", 0, "goal");
  // None in n: at 95 % at most 3 / n; the exact bounds for one and two are 4.74 / n and 6.30 / n (Poisson).
  const bound = [3, 4.74, 6.3][placed] ?? placed + 2 * Math.sqrt(placed) + 2;
  yield row("bound on false placements at 95 %", (100 * bound) / scores.length, "%", 0.03, "rule of three");
};
export default clockStrangersBench;

/** Those of these very pieces. */
function keptIn(path: string): Told[] {
  if (!existsSync(path)) return [];
  return readFileSync(path, "utf8")
    .split("\n")
    .filter((line) => line.endsWith("}"))
    .map((line) => JSON.parse(line) as Told & { pieces: number; seed: number; only?: string })
    .filter((told) => told.pieces === pieces && told.seed === seed && told.only === kinds);
}

function fromWorker(residue: number, done: number, tell: (told: Told) => void): Promise<void> {
  return new Promise((resolve, reject) => {
    const worker = new Worker(new URL(import.meta.url), { workerData: { residue, done } });
    worker.on("message", (score: StrangerScore) => tell({ ...score, residue }));
    worker.on("error", reject);
    worker.on("exit", () => resolve());
  });
}

if (!isMainThread && parentPort) {
  const { residue, done } = workerData as { residue: number; done: number };
  const all = await makePieces(pieces, seed);
  const wanted = kinds ? all.filter(({ kind }) => kinds.split(",").includes(kind)) : all;
  for await (const score of strangerScores(wanted, residue, workers, done)) parentPort.postMessage(score);
}
