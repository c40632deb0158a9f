/** The value below which a share of all lies; 0 of nothing. */
export function percentile(x: ArrayLike<number>, share: number): number {
  const sorted = Float64Array.from(x).sort();
  return sorted.length === 0 ? 0 : sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))]!;
}
