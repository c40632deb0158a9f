/**
 * Moves labels down just enough that none lies on another, keeping their order; then back up from the end where the
 * column is full.
 *
 * @param wishes - Wished tops, ascending, with each label's height.
 * @returns The tops, in the same order.
 */
export function spreadLabels(
  wishes: readonly { readonly y: number; readonly height: number }[],
  bottom: number,
  gap = 4,
): number[] {
  const tops: number[] = [];
  let free = Number.NEGATIVE_INFINITY;
  for (const wish of wishes) {
    const top = Math.max(wish.y, free);
    tops.push(top);
    free = top + wish.height + gap;
  }
  let limit = bottom;
  for (let i = tops.length - 1; i >= 0; i--) {
    tops[i] = Math.min(tops[i]!, limit - wishes[i]!.height);
    limit = tops[i]! - gap;
  }
  return tops;
}
