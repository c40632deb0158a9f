import type { FftMaker } from "#science/signal/fft";
import { coarsePlacements } from "./coarse.ts";
import { leastFineScore } from "./constants.ts";
import { type FineMatch, firstLook, type Listened, secondLook } from "./fine.ts";

/** What came of comparing two recordings. */
export interface PairOutcome {
  /** The placement, or null where they have nothing sure in common. */
  readonly match: FineMatch | null;
  /** The best score that was reached, also by what was refused. */
  readonly score: number;
}

/** A score with which no other candidate needs to be looked at. */
const surelyPlaced = 2 * leastFineScore;

/** A first look this low has never led to a placement: strangers reach it more often than not. */
const hopelessScore = 0.6 * leastFineScore;

/** Finds where `other` lies on `reference` by their sound, or refuses. */
export async function comparePair(
  makeFft: FftMaker,
  reference: Listened,
  other: Listened,
  pause: () => Promise<void>,
): Promise<PairOutcome> {
  let best: FineMatch | null = null;
  let refused = 0;
  for (const placement of coarsePlacements(makeFft, reference.onsets, other.onsets)) {
    const first = await firstLook(makeFft, reference, other, placement, pause);
    if (!first) continue;
    refused = Math.max(refused, first.score);
    if (first.score < hopelessScore) continue;
    const match = await secondLook(makeFft, reference, other, first, pause);
    if (match && match.score > (best?.score ?? 0)) best = match;
    if (best && best.score >= surelyPlaced) break;
  }
  const score = best?.score ?? refused;
  return { match: best && score >= leastFineScore ? best : null, score };
}
