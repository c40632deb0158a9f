import type { Listened } from "./listened.ts";
import type { PairMeasured } from "./solve.ts";
import type { Compared, SoundWork } from "./sound-work.ts";

/** A pair that was accepted, with what it was accepted for. */
export interface AcceptedPair extends PairMeasured {
  readonly score: number;
  readonly agreement: number;
  readonly isInverted: boolean;
  readonly isSoft: boolean;
  /** What the choice of the direct sound leaves open, one standard deviation, seconds. */
  readonly doubtSeconds: number;
  /** Local seconds of `other` that the windows speak for, [from, end); a recording with a step comes in several. */
  readonly from: number;
  readonly end: number;
}

/**
 * Compares every recording with the master, then those that found no place with the ones that did, until nothing
 * more can be placed. Recordings of one device are not compared: they cannot overlap.
 *
 * @param heard - null where a recording has nothing to listen to.
 * @param compared - Told how many of the expected comparisons are done.
 * @returns the accepted pairs, the best score that each recording reached anywhere, and those refused because their
 *   sound repeats itself.
 */
export async function placeBySound(
  work: SoundWork,
  heard: readonly (Listened | null)[],
  devices: readonly string[],
  master: number,
  compared: (done: number, expected: number) => void,
): Promise<{ pairs: AcceptedPair[]; bestScore: number[]; repeating: ReadonlySet<number> }> {
  const pairs: AcceptedPair[] = [];
  const bestScore = heard.map(() => 0);
  const placed = [master];
  const waiting = new Set(heard.flatMap((h, i) => (h && i !== master ? [i] : [])));
  const offered = new Set<number>();
  const repeating = new Set<number>();
  const expected = waiting.size;
  let done = 0;
  // Each placed recording is offered once to all still waiting: those that hear the sitter from near first, for between
  // two distant ones nothing tells whose voice is compared.
  for (;;) {
    const open = placed.filter((i) => heard[i] && !offered.has(i));
    const reference = open.find((i) => heard[i]!.isNear) ?? open[0];
    if (reference === undefined) break;
    offered.add(reference);
    const others = [...waiting].filter((other) => devices[other] !== devices[reference]);
    const outcomes = await Promise.all(
      others.map(async (other) => {
        const outcome = await work.compare(heard[reference]!, heard[other]!);
        done = Math.min(done + 1, expected);
        compared(done, expected);
        return outcome;
      }),
    );
    others.forEach((other, i) => {
      const accepted = take(reference, other, outcomes[i]!);
      if (!accepted) return;
      pairs.push(...accepted);
      placed.push(other);
      waiting.delete(other);
    });
  }
  return { pairs: await toldByNear(), bestScore, repeating };

  function take(reference: number, other: number, outcome: Compared): AcceptedPair[] | null {
    bestScore[other] = Math.max(bestScore[other]!, outcome.score);
    if (outcome.repeats) repeating.add(other);
    if (outcome.pieces.length === 0) return null;
    return outcome.pieces.map(({ from, end, match }) => {
      const { windows, score, agreement, isInverted, isSoft, doubtSeconds } = match;
      return { reference, other, windows, score, agreement, isInverted, isSoft, doubtSeconds, from, end };
    });
  }

  /** Two distant recordings placed by each other: each is asked again with every one that hears the sitter from near. */
  async function toldByNear(): Promise<AcceptedPair[]> {
    const told: AcceptedPair[] = [];
    const near = placed.filter((i) => heard[i]?.isNear);
    for (const pair of pairs) {
      const isFar = !heard[pair.reference]!.isNear && !heard[pair.other]!.isNear;
      const isWhole = pairs.every((p) => p === pair || p.other !== pair.other);
      let better: AcceptedPair[] | null = null;
      if (isFar && isWhole)
        for (const reference of near) {
          if (devices[reference] === devices[pair.other] || hangsOn(reference, pair.other)) continue;
          better = take(reference, pair.other, await work.compare(heard[reference]!, heard[pair.other]!));
          if (better) break;
        }
      told.push(...(better ?? [pair]));
    }
    return told;
  }

  /** Whether `low` was placed through `high`: then it cannot place it. */
  function hangsOn(low: number, high: number): boolean {
    for (let at = low; at !== master; ) {
      const pair = pairs.find((p) => p.other === at);
      if (!pair) return false;
      if (pair.reference === high) return true;
      at = pair.reference;
    }
    return false;
  }
}
