/**
 * Where between three equally spaced values the parabola through them has its top, in steps from the middle one.
 *
 * @returns -0.5 to 0.5 where the middle value is the greatest; 0 where the three lie on a line.
 *
 * Good on a peak that is sampled finely; on a critically sampled one it is biased (see `makePhaseCorrelator`).
 */
export function parabolaTop(before: number, middle: number, after: number): number {
  const bend = before - 2 * middle + after;
  return bend === 0 ? 0 : (0.5 * (before - after)) / bend;
}
