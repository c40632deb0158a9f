import { type FftMaker, fftSizeFor } from "#science/signal/fft";
import { parabolaTop } from "#science/signal/peak";
import { leastCoarseScore, leastOverlapSeconds, mostPpm } from "./constants.ts";
import { framesPerSecond, type Onsets } from "./onsets.ts";

/** One stretch of the other recording found in the reference. */
export interface CoarseMatch {
  /** Middle of the stretch, local seconds of the other recording. */
  readonly at: number;
  /** Reference time less local time, seconds, to about 10 ms. */
  readonly offset: number;
  /** Height of the peak in standard deviations of the comparison. */
  readonly score: number;
}

/** A way to lay the other recording on the reference: stretches that agree within what two clocks may differ. */
export interface CoarsePlacement {
  readonly matches: readonly CoarseMatch[];
  readonly score: number;
}

/** Stretches are short enough that a drift of 300 ppm blurs them by 6 frames at most, and long enough to tell. */
const stretchSeconds = 300;
const peaksKept = 10;
const placementsKept = 4;

/**
 * Where the other recording may lie on the reference: onset features of each stretch correlated with the whole
 * reference by FFT, every lag at once, best placements first.
 */
export function coarsePlacements(makeFft: FftMaker, reference: Onsets, other: Onsets): CoarsePlacement[] {
  const stretches = Math.max(1, Math.round(other.frames / (stretchSeconds * framesPerSecond)));
  const stretchFrames = Math.ceil(other.frames / stretches);
  // Long references are cut into pieces: transforms little longer than a stretch cost least.
  const size = fftSizeFor(Math.min(reference.frames + stretchFrames, 3 * stretchFrames));
  const bank = makeFft(size).longCorrelations(reference.bands, stretchFrames);
  const found: CoarseMatch[][] = [];
  const sum = new Float32Array(bank.lags);
  for (let s = 0; s < stretches; s++) {
    const first = s * stretchFrames;
    const end = Math.min(other.frames, first + stretchFrames);
    bank.sum(
      other.bands.map((band) => band.subarray(first, end)),
      sum,
    );
    found.push(
      bestPeaks(sum, bank.zero, reference.frames, end - first).map(({ lag, score }) => ({
        at: (first + end) / 2 / framesPerSecond,
        offset: (lag - first) / framesPerSecond,
        score,
      })),
    );
  }
  bank.free();
  return agreeing(found);
}

function bestPeaks(
  r: Float32Array,
  zero: number,
  referenceFrames: number,
  stretchFrames: number,
): { lag: number; score: number }[] {
  const leastFrames = Math.min(leastOverlapSeconds * framesPerSecond, referenceFrames, stretchFrames);
  const firstLag = Math.ceil(leastFrames) - stretchFrames;
  const endLag = referenceFrames - Math.floor(leastFrames) + 1;
  // Chance sums grow with the root of the overlap; short overlaps have heavier tails and are held back.
  const holdBack = 6 * framesPerSecond;
  const scaled = new Float32Array(Math.max(0, endLag - firstLag));
  const squares = evenedByOverlap(
    r.subarray(firstLag + zero, Math.max(firstLag, endLag) + zero),
    firstLag,
    [referenceFrames, stretchFrames],
    holdBack,
    scaled,
  );
  const deviation = Math.sqrt(squares / Math.max(1, scaled.length)) || 1;
  const least = leastCoarseScore * 0.6 * deviation;
  const peaks: { lag: number; score: number }[] = [];
  const apart = 8;
  for (let i = 1; i + 1 < scaled.length; i++) {
    const value = scaled[i]!;
    if (value < least || value < scaled[i - 1]! || value <= scaled[i + 1]!) continue;
    const near = peaks.find((peak) => Math.abs(peak.lag - (i + firstLag)) < apart);
    const peak = {
      lag: i + firstLag + parabolaTop(scaled[i - 1]!, value, scaled[i + 1]!),
      score: value / deviation,
    };
    if (near) {
      if (near.score < peak.score) Object.assign(near, peak);
      continue;
    }
    if (peaks.length < peaksKept) peaks.push(peak);
    else {
      const lowest = peaks.reduce((low, p) => (p.score < low.score ? p : low));
      if (lowest.score < peak.score) Object.assign(lowest, peak);
    }
  }
  return peaks.sort((p, q) => q.score - p.score);
}

/**
 * out[i] = sums[i] over the root of the overlap at lag `firstLag + i` and of what holds short ones back.
 *
 * @returns the sum of their squares.
 */
function evenedByOverlap(
  sums: Float32Array,
  firstLag: number,
  [reference, stretch]: readonly [number, number],
  holdBack: number,
  out: Float32Array,
): number {
  let squares = 0;
  let overlap = -1;
  let scale = 0;
  for (let i = 0; i < out.length; i++) {
    const lag = firstLag + i;
    const here = Math.min(reference, lag + stretch) - Math.max(0, lag);
    // The same along most of a long reference.
    if (here !== overlap) {
      overlap = here;
      scale = 1 / Math.sqrt(overlap + holdBack);
    }
    const value = sums[i]! * scale;
    out[i] = value;
    squares += value * value;
  }
  return squares;
}

/** Gathers peaks of different stretches that one clock within the limit explains. */
function agreeing(found: readonly (readonly CoarseMatch[])[]): CoarsePlacement[] {
  const placements: CoarsePlacement[] = [];
  const anchors = found
    .flat()
    .sort((p, q) => q.score - p.score)
    .slice(0, 40);
  for (const anchor of anchors) {
    const matches = [anchor];
    for (const peaks of found) {
      if (peaks.includes(anchor)) continue;
      const reach = (at: number) => Math.abs(at - anchor.at) * mostPpm * 1e-6 + 2 / framesPerSecond;
      const match = peaks.find((peak) => Math.abs(peak.offset - anchor.offset) <= reach(peak.at));
      if (match) matches.push(match);
    }
    const score = Math.sqrt(
      matches.reduce((sum, match) => sum + match.score ** 2, 0) / Math.sqrt(found.length),
    );
    const isKnown = placements.some((p) => p.matches.includes(anchor));
    if (!isKnown) placements.push({ matches: matches.sort((p, q) => p.at - q.at), score });
  }
  return placements
    .filter((p) => Math.max(...p.matches.map((m) => m.score)) >= leastCoarseScore)
    .sort((p, q) => q.score - p.score)
    .slice(0, placementsKept);
}
