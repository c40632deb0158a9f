import { leastFineScore } from "#clock/constants";
import { makePieces, strangerScores } from "./clock-strangers.ts";
import type { Bench } from "./row.ts";

/** 142 pieces make 10 011 pairs; `PIECES=30` makes 435. */
const pieces = Number(process.env.PIECES ?? 142);

/** What strangers reach: the ground of the threshold, and the bound on false placements by the rule of three. */
const clockStrangersBench: Bench = async function* () {
  const scores: number[] = [];
  let placed = 0;
  for await (const { score, isPlaced } of strangerScores(
    await makePieces(pieces, Number(process.env.SEED ?? 52_000)),
    0,
    1,
  )) {
    scores.push(score);
    if (isPlaced) placed++;
  }
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
