import { type SeededChance, seededChance } from "./seeded-chance.ts";

/** What is sought: the place of a box with the least cost. */
export interface SearchProblem {
  /** Bounds of each variable, `low` under `high`. */
  readonly low: Float64Array;
  readonly high: Float64Array;
  /**
   * Which variables belong together, a number for each: half of all trials then change one group alone. For problems whose parts
   * hardly touch each other, or break constraints each on its own.
   */
  readonly groups?: Int32Array;
  /**
   * What a place costs. It may keep nothing of `place`, which is written over.
   *
   * A cost above `atMost` need not be worked out to the end: anything above `atMost` may be answered for it.
   *
   * Constraints: a place that breaks one costs more than any that breaks none, and the more the worse it breaks it
   * (K. Deb, An efficient constraint handling method for genetic algorithms, 2000).
   */
  cost(place: Float64Array, atMost: number): number;
}

/** A search under way. */
export interface Evolution {
  /** The cheapest place so far, its own array. */
  readonly best: Float64Array;
  /** What it costs. */
  bestCost(): number;
  /** Places tried so far. */
  tried(): number;
  /** How many places live now, and each of them from the cheapest on: a view that the next run writes over. */
  size(): number;
  /** The place of that rank. */
  member(rank: number): Float64Array;
  /** What it costs. */
  memberCost(rank: number): number;
  /** Tries about `count` more places, in whole generations, while the population shrinks evenly to `shrinkTo`. */
  run(count: number, shrinkTo?: number): void;
}

/** Choices of the method that its paper found good. */
const memories = 6;
const bestShare = 0.11;
const archiveRate = 1.4;
const smallest = 4;
/** Share of the trials that change one group alone. */
const groupShare = 0.5;

/**
 * A seeded global search by differential evolution: success-history adaptation, current-to-pbest mutation with an archive of
 * the replaced, population that shrinks. The same seed and the same runs give the same answer.
 *
 * Trials of one group are ours. Nothing is allocated while it runs. The bounds are kept as in its paper: half way between parent and bound.
 *
 * @param problem - Bounds and cost.
 * @param options - `population`: places to begin with, at least four; `starts`: places to have among them.
 *
 * Source: R. Tanabe and A. Fukunaga, Improving the search performance of SHADE using linear population size reduction
 * (IEEE CEC 2014); memory 6, best share 0.11 as printed there.
 */
export function evolution(
  problem: SearchProblem,
  options: { readonly seed: number; readonly population: number; readonly starts?: readonly Float64Array[] },
): Evolution {
  const { low, high, groups } = problem;
  const groupCount = groups ? Math.max(...groups) + 1 : 0;
  const n = low.length;
  const room = Math.max(smallest, options.population);
  const chance = seededChance(options.seed);
  const [places, trials] = [new Float64Array(room * n), new Float64Array(room * n)];
  const [costs, trialCosts] = [new Float64Array(room), new Float64Array(room)];
  const [usedF, usedCr, gains] = [new Float64Array(room), new Float64Array(room), new Float64Array(room)];
  const archive = new Float64Array(Math.ceil(archiveRate * room) * n);
  const trial = new Float64Array(n);
  const order = new Int32Array(room);
  const [memoryF, memoryCr] = [new Float64Array(memories).fill(0.5), new Float64Array(memories).fill(0.5)];
  const best = new Float64Array(n);
  let [size, kept, turn, tried, bestCost] = [room, 0, 0, 0, Number.POSITIVE_INFINITY];

  const price = (place: Float64Array, atMost: number): number => {
    const cost = problem.cost(place, atMost);
    tried++;
    if (cost < bestCost) {
      bestCost = cost;
      best.set(place);
    }
    return cost;
  };
  const sort = (): void => {
    for (let i = 1; i < size; i++) {
      const member = order[i]!;
      const cost = costs[member]!;
      let j = i - 1;
      while (j >= 0 && costs[order[j]!]! > cost) {
        order[j + 1] = order[j]!;
        j--;
      }
      order[j + 1] = member;
    }
  };
  for (let i = 0; i < room; i++) {
    const start = options.starts?.[i];
    for (let d = 0; d < n; d++) {
      const even = low[d]! + (high[d]! - low[d]!) * chance.next();
      trial[d] = start ? Math.max(low[d]!, Math.min(high[d]!, start[d]!)) : even;
    }
    costs[i] = price(trial, Number.POSITIVE_INFINITY);
    places.set(trial, i * n);
    order[i] = i;
  }
  sort();

  const makeTrial = (rank: number): void => {
    const member = order[rank]!;
    const memory = chance.below(memories);
    const cr = Math.max(0, Math.min(1, memoryCr[memory]! + 0.1 * chance.normal()));
    const f = scaleFrom(chance, memoryF[memory]!);
    usedF[rank] = f;
    usedCr[rank] = cr;
    const leader = order[chance.below(Math.max(2, Math.round(bestShare * size)))]!;
    let a = member;
    while (a === member) a = order[chance.below(size)]!;
    let b = chance.below(size + kept);
    while (b < size && (order[b] === member || order[b] === a)) b = chance.below(size + kept);
    const [from, bAt] = b < size ? [places, order[b]! * n] : [archive, (b - size) * n];
    const sure = chance.below(n);
    const group = groups && chance.next() < groupShare ? chance.below(groupCount) : -1;
    // A group that changes as a whole teaches nothing about the rate of crossing.
    if (group >= 0) usedCr[rank] = -1;
    for (let d = 0; d < n; d++) {
      const own = places[member * n + d]!;
      let value = own;
      if (group >= 0 ? groups![d] === group : d === sure || chance.next() < cr) {
        value += f * (places[leader * n + d]! - own + places[a * n + d]! - from[bAt + d]!);
        if (value < low[d]!) value = (low[d]! + own) / 2;
        else if (value > high[d]!) value = (high[d]! + own) / 2;
      }
      trials[rank * n + d] = value;
    }
  };

  const copyWithin = (to: Float64Array, at: number, from: Float64Array, index: number): void => {
    for (let d = 0; d < n; d++) to[at * n + d] = from[index * n + d]!;
  };
  const generation = (): void => {
    for (let rank = 0; rank < size; rank++) makeTrial(rank);
    for (let rank = 0; rank < size; rank++) {
      for (let d = 0; d < n; d++) trial[d] = trials[rank * n + d]!;
      trialCosts[rank] = price(trial, costs[order[rank]!]!);
    }
    let [sumW, sumF, sumFF, sumCr, sumCrCr] = [0, 0, 0, 0, 0];
    const archiveSize = Math.floor(archiveRate * size);
    for (let rank = 0; rank < size; rank++) {
      const member = order[rank]!;
      gains[rank] = costs[member]! - trialCosts[rank]!;
      if (!(gains[rank]! >= 0)) continue;
      if (gains[rank]! > 0) {
        copyWithin(archive, kept < archiveSize ? kept++ : chance.below(archiveSize), places, member);
        const [w, f, cr] = [gains[rank]!, usedF[rank]!, usedCr[rank]!];
        sumF += w * f;
        sumFF += w * f * f;
        if (cr >= 0) {
          sumW += w;
          sumCr += w * cr;
          sumCrCr += w * cr * cr;
        }
      }
      copyWithin(places, member, trials, rank);
      costs[member] = trialCosts[rank]!;
    }
    if (sumF > 0) {
      memoryF[turn] = sumFF / sumF;
      // A memory of 0: every success changed one variable alone.
      if (sumW > 0) memoryCr[turn] = sumCr > 0 ? sumCrCr / sumCr : 0;
      turn = (turn + 1) % memories;
    }
    sort();
  };

  return {
    best,
    bestCost: () => bestCost,
    tried: () => tried,
    size: () => size,
    member: (rank) => places.subarray(order[rank]! * n, (order[rank]! + 1) * n),
    memberCost: (rank) => costs[order[rank]!]!,
    run(count, shrinkTo = size) {
      const [first, begun, last] = [size, tried, Math.max(smallest, Math.min(size, shrinkTo))];
      while (tried - begun < count) {
        generation();
        const share = Math.min(1, (tried - begun) / count);
        size = Math.max(last, Math.round(first + (last - first) * share));
        kept = Math.min(kept, Math.floor(archiveRate * size));
      }
    },
  };
}

/** A step's length about a remembered one: Cauchy, drawn again when it is not above 0, at most 1. */
function scaleFrom(chance: SeededChance, about: number): number {
  for (let draws = 0; draws < 50; draws++) {
    const f = about + 0.1 * chance.cauchy();
    if (f > 0) return Math.min(1, f);
  }
  return about;
}
