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
  let best: { on: number; bin: number; slope: number } | null = null;
  for (let s = -slopes; s <= slopes; s++) {
    const slope = slopes === 0 ? 0 : (s / slopes) * mostSlope;
    bins.fill(0);
    for (const { at, lag, weight } of sightings) {
      const position = (lag - slope * (at - middle)) / binSeconds + zero;
      const bin = Math.floor(position);
      if (bin < 0 || bin + 1 >= bins.length) continue;
      // Shared between the two nearest bins, so that a line on an edge loses nothing.
      bins[bin]! += weight * (1 - (position - bin));
      bins[bin + 1]! += weight * (position - bin);
    }
    for (let bin = 1; bin + 1 < bins.length; bin++) {
      const on = bins[bin]! + 0.5 * (bins[bin - 1]! + bins[bin + 1]!);
      if (!best || on > best.on) best = { on, bin, slope };
    }
  }
  const all = sightings.reduce((sum, s) => sum + s.weight, 0);
  return best && { middle, slope: best.slope, lagAtMiddle: (best.bin - zero) * binSeconds, on: best.on, all };
}
