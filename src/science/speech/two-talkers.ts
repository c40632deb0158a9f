import { quantileOf } from "./power-meter.ts";
import type { TimeStretch } from "./speech-stretches.ts";

/** A stretch of speech and whose it is. */
export interface TalkerStretch extends TimeStretch {
  readonly who: "sitter" | "interviewer";
}

/** The answer, with what it rests on. */
export interface TalkerSplit {
  readonly stretches: readonly TalkerStretch[];
  /** False where only one voice can be told apart; then every stretch is the sitter's. */
  readonly twoTalkers: boolean;
  /** Decibels between the middles of the two groups; 0 where there is one. */
  readonly separationDb: number;
}

/** Decibels that the two groups must lie apart: levels of one talker wander by less (common practice). */
const leastSeparationDb = 8;
/** Distance of the groups in units of their spread (Ashman's D > 2 parts two normals; 3 asks for more). */
const leastSpreads = 3;

/**
 * Tells the sitter from the interviewer by how the sitter's own microphone hears them.
 *
 * The measure, in decibels, is high for the person who wears the microphone: its level there, plus how much
 * louder it is there than at a microphone that stands free. Stretches fall into two groups (two-means on their
 * medians, weighted by length); if the groups are not well apart the honest answer is one talker. With two, the
 * boundary inside a stretch is the best path through two states (Viterbi), changing seldom within running speech.
 *
 * @param measureDb - One value a window; only those inside stretches are looked at.
 * @param windowSeconds - Length of a window, seconds; window i starts at i × windowSeconds.
 * @param stretches - Speech, in order, seconds from the first window.
 */
export function splitTalkers(
  measureDb: ArrayLike<number>,
  windowSeconds: number,
  stretches: readonly TimeStretch[],
): TalkerSplit {
  const windows = ({ start, end }: TimeStretch): [number, number] => [
    Math.min(measureDb.length, Math.round(start / windowSeconds)),
    Math.min(measureDb.length, Math.round(end / windowSeconds)),
  ];
  const all = (who: "sitter"): TalkerSplit => ({
    stretches: stretches.map(({ start, end }) => ({ start, end, who })),
    twoTalkers: false,
    separationDb: 0,
  });
  const points = stretches
    .map((stretch) => {
      const [first, last] = windows(stretch);
      const values = Array.from({ length: last - first }, (_, k) => measureDb[first + k]!);
      return { middle: quantileOf(values, 0.5), weight: stretch.end - stretch.start };
    })
    .filter(({ weight }) => weight >= 0.25);
  const groups = twoMeans(points);
  if (!groups) return all("sitter");
  const separationDb = groups.high.mean - groups.low.mean;
  const spread = Math.sqrt((groups.high.spread ** 2 + groups.low.spread ** 2) / 2);
  const apart = separationDb >= leastSeparationDb && separationDb >= leastSpreads * Math.max(spread, 0.5);
  if (!apart || groups.low.weight < 0.5) return all("sitter");

  const found: TalkerStretch[] = [];
  let lastEnd = Number.NEGATIVE_INFINITY;
  let lastWho: 0 | 1 = 1;
  const means = [groups.low.mean, groups.high.mean] as const;
  // Windows of one word differ far more than medians of phrases do.
  const sigma = Math.max(5, separationDb / 4);
  for (const stretch of stretches) {
    const [first, last] = windows(stretch);
    if (last <= first) continue;
    const values = Array.from({ length: last - first }, (_, k) => measureDb[first + k]!);
    const entry = stretch.start - lastEnd < 0.4 ? 3 : 0;
    const path = bestPath(values, means, sigma, lastWho, entry);
    let from = 0;
    for (let i = 1; i <= path.length; i++) {
      if (i < path.length && path[i] === path[from]) continue;
      found.push({
        start: from === 0 ? stretch.start : (first + from) * windowSeconds,
        end: i === path.length ? stretch.end : (first + i) * windowSeconds,
        who: path[from] === 1 ? "sitter" : "interviewer",
      });
      from = i;
    }
    lastEnd = stretch.end;
    lastWho = path.at(-1) ?? lastWho;
  }
  return { stretches: found, twoTalkers: true, separationDb };
}

interface Group {
  readonly mean: number;
  readonly spread: number;
  readonly weight: number;
}

/** The split of weighted points on a line into two groups that leaves the least variance inside them. */
function twoMeans(points: readonly { middle: number; weight: number }[]): { low: Group; high: Group } | null {
  if (points.length < 2) return null;
  const sorted = [...points].sort((a, b) => a.middle - b.middle);
  const group = (members: typeof sorted): Group => {
    const weight = members.reduce((sum, p) => sum + p.weight, 0);
    const mean = members.reduce((sum, p) => sum + p.weight * p.middle, 0) / weight;
    const variance = members.reduce((sum, p) => sum + p.weight * (p.middle - mean) ** 2, 0) / weight;
    return { mean, spread: Math.sqrt(variance), weight };
  };
  // Prefix sums of weight, first and second moment make each split O(1).
  let best = { at: 1, inside: Number.POSITIVE_INFINITY };
  const sums = [[0, 0, 0]];
  for (const { middle, weight } of sorted) {
    const [w, x, xx] = sums.at(-1)!;
    sums.push([w! + weight, x! + weight * middle, xx! + weight * middle * middle]);
  }
  const total = sums.at(-1)!;
  for (let at = 1; at < sorted.length; at++) {
    const [w, x, xx] = sums[at] as [number, number, number];
    const inside = xx - (x * x) / w + (total[2]! - xx) - (total[1]! - x) ** 2 / (total[0]! - w);
    if (inside < best.inside) best = { at, inside };
  }
  return { low: group(sorted.slice(0, best.at)), high: group(sorted.slice(best.at)) };
}

/** Two-state Viterbi path, 1 being the louder state. A change inside running speech costs as much as a strong doubt. */
function bestPath(
  values: readonly number[],
  means: readonly [number, number],
  sigma: number,
  before: 0 | 1,
  entryCost: number,
): (0 | 1)[] {
  const changeCost = 9;
  const cost = (value: number, state: 0 | 1): number => {
    // Beyond the other side of its own mean a value is no worse than at the mean: very loud is still the sitter.
    const off = state === 1 ? Math.min(0, value - means[1]) : Math.max(0, value - means[0]);
    // Neighbouring windows tell nearly the same story; a quarter of the weight each.
    return Math.min(0.25 * 0.5 * (off / sigma) ** 2, 2);
  };
  let [low, high] = [before === 0 ? 0 : entryCost, before === 1 ? 0 : entryCost];
  const back: [0 | 1, 0 | 1][] = [];
  for (const value of values) {
    const fromLow: [0 | 1, 0 | 1] = [low <= high + changeCost ? 0 : 1, high <= low + changeCost ? 1 : 0];
    [low, high] = [
      Math.min(low, high + changeCost) + cost(value, 0),
      Math.min(high, low + changeCost) + cost(value, 1),
    ];
    back.push(fromLow);
  }
  const path: (0 | 1)[] = new Array(values.length);
  let state: 0 | 1 = high <= low ? 1 : 0;
  for (let i = values.length - 1; i >= 0; i--) {
    path[i] = state;
    state = back[i]![state];
  }
  return path;
}
