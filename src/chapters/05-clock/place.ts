import type { FftMaker } from "#science/signal/fft";
import type { Listened } from "./fine.ts";
import { comparePair } from "./pair.ts";
import { piecesOf } from "./pieces.ts";
import type { PairMeasured } from "./solve.ts";

/** A pair that was accepted, with what it was accepted for. */
export interface AcceptedPair extends PairMeasured {
  readonly score: number;
  readonly agreement: number;
  readonly isInverted: boolean;
  readonly isSoft: boolean;
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
 * @returns the accepted pairs, and the best score that each recording reached anywhere.
 */
export async function placeBySound(
  makeFft: FftMaker,
  heard: readonly (Listened | null)[],
  devices: readonly string[],
  master: number,
  pause: () => Promise<void>,
  compared: (done: number, expected: number) => void,
): Promise<{ pairs: AcceptedPair[]; bestScore: number[] }> {
  const pairs: AcceptedPair[] = [];
  const bestScore = heard.map(() => 0);
  const placed = [master];
  const waiting = new Set(heard.flatMap((h, i) => (h && i !== master ? [i] : [])));
  const expected = waiting.size;
  let done = 0;
  // Each placed recording is offered once, in the order in which it found its place, to all still waiting.
  for (let next = 0; next < placed.length; next++) {
    const reference = placed[next]!;
    if (!heard[reference]) continue;
    for (const other of [...waiting]) {
      if (devices[other] === devices[reference]) continue;
      const outcome = await comparePair(makeFft, heard[reference], heard[other]!, pause);
      bestScore[other] = Math.max(bestScore[other]!, outcome.score);
      if (outcome.match) {
        for (const { from, end, match } of await piecesOf(
          makeFft,
          heard[reference],
          heard[other]!,
          outcome.match,
          pause,
        )) {
          const { windows, score, agreement, isInverted, isSoft } = match;
          pairs.push({ reference, other, windows, score, agreement, isInverted, isSoft, from, end });
        }
        placed.push(other);
        waiting.delete(other);
      }
      done = Math.min(done + 1, expected);
      compared(done, expected);
    }
  }
  return { pairs, bestScore };
}
