import type { FftMaker } from "#science/signal/fft";
import { type CoarsePlacement, coarsePlacements } from "./coarse.ts";
import { leastFineScore } from "./constants.ts";
import { aboutLine, type FirstLook, firstLook } from "./first-look.ts";
import { type ClockLine, referenceTime } from "./line.ts";
import type { Listened } from "./listened.ts";
import { type FineMatch, secondLook } from "./second-look.ts";

/** What came of comparing two recordings. */
export interface PairOutcome {
  /** The placement, or null where they have nothing sure in common. */
  readonly match: FineMatch | null;
  /** The best score that was reached, also by what was refused. */
  readonly score: number;
  /** Refused because it fits in several places as well: a loop, a tune. */
  readonly repeats?: boolean;
}

/** A score with which no other candidate needs to be looked at. */
const surelyPlaced = 2 * leastFineScore;

/** A first look this low has never led to a placement: strangers reach it more often than not. */
const hopelessScore = 0.6 * leastFineScore;

/** Where another place far from the best adds up to this share of it, the sound repeats itself and tells no place. */
const mostRivalShare = 0.6;
/** Chance alone reaches about this. */
const leastRivalScore = 8.5;
/** Nearer than this is the same place, seconds. */
const samePlaceSeconds = 0.3;

/** The steps of a comparison, for two recordings: whoever takes them, the answers are the same. */
export interface PairLooks {
  coarse(): Promise<CoarsePlacement[]>;
  first(placement: CoarsePlacement, least?: number): Promise<FirstLook | null>;
  second(first: FirstLook): Promise<FineMatch | null>;
}

/** All of them in this thread. */
export const looksHere = (
  makeFft: FftMaker,
  reference: Listened,
  other: Listened,
  pause: () => Promise<void>,
): PairLooks => ({
  coarse: async () => coarsePlacements(makeFft, reference.onsets, other.onsets),
  first: (placement, least) => firstLook(makeFft, reference, other, placement, pause, least),
  second: (first) => secondLook(makeFft, reference, other, first, pause),
});

/** Finds where `other` lies on `reference` by their sound, or refuses. */
export async function comparePair(
  makeFft: FftMaker,
  reference: Listened,
  other: Listened,
  pause: () => Promise<void>,
): Promise<PairOutcome> {
  return compareBy(looksHere(makeFft, reference, other, pause), other);
}

/** The same by somebody's looks. */
export async function compareBy(looks: PairLooks, other: Listened): Promise<PairOutcome> {
  const candidates = await looks.coarse();
  let best: { match: FineMatch; first: FirstLook } | null = null;
  let refused = 0;
  const seen: FirstLook[] = [];
  let next = 0;
  for (; next < candidates.length && !(best && best.match.score >= surelyPlaced); next++) {
    const first = await looks.first(candidates[next]!);
    if (!first) continue;
    seen.push(first);
    refused = Math.max(refused, first.score);
    if (first.score < hopelessScore) continue;
    const match = await looks.second(first);
    if (match && match.score > (best?.match.score ?? 0)) best = { match, first };
  }
  const score = best?.match.score ?? refused;
  if (!best || score < leastFineScore) return { match: null, score };
  const { match, first } = best;
  const middle = other.seconds / 2;
  const apart = (line: ClockLine) =>
    Math.abs(referenceTime(line, middle) - referenceTime(match.line, middle));
  const leastRival = Math.max(leastRivalScore, mostRivalShare * first.score);
  for (; next < candidates.length; next++) {
    // Most are the same place found again a little beside itself: nothing there can be a rival.
    const { line, within } = aboutLine(candidates[next]!, other);
    if (apart(line) + within <= samePlaceSeconds) continue;
    const look = await looks.first(candidates[next]!, leastRival);
    if (look) seen.push(look);
  }
  const isRival = ({ line, score: reached }: FirstLook) =>
    apart(line) > samePlaceSeconds && reached >= leastRival;
  return seen.some(isRival) ? { match: null, score, repeats: true } : { match, score };
}
