/** A straight line found by summing many correlations along it. */
export interface ScannedLine {
  /** Lag at the middle of the moments, in steps from the middle of the slices. */
  readonly lag: number;
  /** Steps of lag per second. */
  readonly slope: number;
  /** Middle of the moments, seconds. */
  readonly middle: number;
  /** Weighted sum along the line over what chance would give, either sign. */
  readonly score: number;
}

/**
 * The straight line along which many correlations add up most: every slope, every lag.
 *
 * Each correlation alone may be drowned in noise; what they share grows with their number and noise with its root.
 *
 * @param slices - Correlations over the same lags, odd length, lag 0 in the middle.
 * @param noises - Root mean square of each where there is nothing.
 * @param moments - Seconds, one a slice, rising.
 * @param most - How far from `about` to look: steps of lag per second, and steps of lag at the middle moment.
 * @param about - Where to look; by default about lag 0 without slope.
 */
export function scanSlopes(
  slices: readonly Float32Array[],
  noises: readonly number[],
  moments: readonly number[],
  weights: readonly number[],
  most: { readonly slope: number; readonly lag: number },
  about: { readonly slope: number; readonly lag: number } = { slope: 0, lag: 0 },
): ScannedLine | null {
  const length = slices[0]?.length ?? 0;
  const centre = (length - 1) / 2;
  const middle = ((moments[0] ?? 0) + (moments.at(-1) ?? 0)) / 2;
  const half = Math.max(1e-9, ((moments.at(-1) ?? 0) - (moments[0] ?? 0)) / 2);
  const noise = Math.sqrt(slices.reduce((sum, _, i) => sum + (weights[i]! * noises[i]!) ** 2, 0));
  if (noise === 0) return null;
  const from = Math.max(0, Math.ceil(centre + about.lag - most.lag));
  const end = Math.min(length, Math.floor(centre + about.lag + most.lag) + 1);
  const steps = Math.min(600, Math.ceil((most.slope * half) / 1.5));
  const sum = new Float32Array(Math.max(0, end - from));
  let best: ScannedLine | null = null;
  for (let s = -steps; s <= steps; s++) {
    const slope = about.slope + (steps === 0 ? 0 : (s / steps) * most.slope);
    sum.fill(0);
    for (let i = 0; i < slices.length; i++) {
      const weight = weights[i]!;
      if (weight === 0) continue;
      const slice = slices[i]!;
      const shift = Math.round(slope * (moments[i]! - middle));
      const first = Math.max(from, -shift);
      const last = Math.min(end, length - shift);
      for (let k = first; k < last; k++) sum[k - from]! += weight * slice[k + shift]!;
    }
    for (let k = 0; k < sum.length; k++) {
      const score = Math.abs(sum[k]!) / noise;
      if (!best || score > best.score) best = { lag: k + from - centre, slope, middle, score };
    }
  }
  return best;
}
