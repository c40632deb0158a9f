/** A delay seen at one moment. */
export interface Sighting {
  /** Local seconds. */
  readonly at: number;
  /** Seconds. */
  readonly lag: number;
  readonly weight: number;
}

/** A straight line through many sightings: lag = lagAtMiddle + slope (at - middle). */
export interface Vote {
  readonly middle: number;
  readonly lagAtMiddle: number;
  /** Seconds a second. */
  readonly slope: number;
  /** Weight on the line, and of everything. */
  readonly on: number;
  readonly all: number;
}

/**
 * The line that most of the weight lies on, whatever the rest does: every slope within the limit is tried, and for
 * each the fullest bin. Unlike an average it follows one talker and leaves another, milliseconds off, alone.
 *
 * @param binSeconds - Width of what counts as one line; the result is as fine as this, for a later pass to refine.
 */
export function voteForLine(
  sightings: readonly Sighting[],
  mostSlope: number,
  binSeconds: number,
  lagRange: number,
): Vote | null {
  if (sightings.length === 0) return null;
  const ats = sightings.map((s) => s.at);
  const from = Math.min(...ats);
  const end = Math.max(...ats);
  const middle = (from + end) / 2;
  const half = Math.max((end - from) / 2, 1e-9);
  const slopes = Math.min(2000, Math.ceil((mostSlope * half) / (binSeconds / 2)));
  const reach = lagRange + mostSlope * half;
  const bins = new Float64Array(2 * Math.ceil(reach / binSeconds) + 3);
  const zero = (bins.length - 1) / 2;
  const fromMiddle = Float64Array.from(sightings, ({ at }) => at - middle);
  const lags = Float64Array.from(sightings, ({ lag }) => lag / binSeconds);
  const weights = Float64Array.from(sightings, ({ weight }) => weight);
  let best: { on: number; bin: number; slope: number } | null = null;
  let most = Number.NEGATIVE_INFINITY;
  for (let s = -slopes; s <= slopes; s++) {
    const slope = slopes === 0 ? 0 : (s / slopes) * mostSlope;
    const lean = slope / binSeconds;
    bins.fill(0);
    for (let i = 0; i < lags.length; i++) {
      const position = lags[i]! - lean * fromMiddle[i]! + zero;
      if (position < 0 || position >= bins.length - 1) continue;
      const bin = Math.floor(position);
      const share = position - bin;
      const weight = weights[i]!;
      // Shared between the two nearest bins, so that a line on an edge loses nothing.
      bins[bin]! += weight * (1 - share);
      bins[bin + 1]! += weight * share;
    }
    let before = bins[0]!;
    let here = bins[1]!;
    for (let bin = 1; bin + 1 < bins.length; bin++) {
      const after = bins[bin + 1]!;
      const on = here + 0.5 * (before + after);
      if (on > most) {
        most = on;
        best = { on, bin, slope };
      }
      before = here;
      here = after;
    }
  }
  const all = sightings.reduce((sum, s) => sum + s.weight, 0);
  return best && { middle, slope: best.slope, lagAtMiddle: (best.bin - zero) * binSeconds, on: best.on, all };
}
