/**
 * How much a figure is liked, 0 to 1: nothing outside `[zeroBelow, zeroAbove]`, all of it within `[bestFrom, bestTo]`, and
 * a smooth rise and fall between (half a cosine), so that a search is led towards the best.
 *
 * @param zeroBelow - May equal `bestFrom`, then it is liked from there on at once; the same for the upper two.
 */
export function liking(
  value: number,
  zeroBelow: number,
  bestFrom: number,
  bestTo: number,
  zeroAbove: number,
): number {
  if (value >= bestFrom && value <= bestTo) return 1;
  const share =
    value < bestFrom
      ? (value - zeroBelow) / (bestFrom - zeroBelow)
      : (zeroAbove - value) / (zeroAbove - bestTo);
  return share > 0 ? (1 - Math.cos(Math.PI * Math.min(1, share))) / 2 : 0;
}

/** Liked in full from `best` down, not at all from `zero` on. */
export const likingLow = (value: number, best: number, zero: number): number =>
  liking(value, Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY, best, zero);

/** Liked in full from `best` up, not at all under `zero`. */
export const likingHigh = (value: number, zero: number, best: number): number =>
  liking(value, zero, best, Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY);
