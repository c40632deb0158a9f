/**
 * Round numbers to rule an axis by: steps of 1, 2 or 5 times a power of ten.
 *
 * @param most - At most about this many steps; at least 1.
 * @returns Ascending values within [min, max]; `[min]` where the axis has no length.
 */
export function niceTicks(min: number, max: number, most: number): number[] {
  if (!(max > min)) return [min];
  const rough = (max - min) / Math.max(1, most);
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((m) => m * power).find((s) => s >= rough * 0.999)!;
  const first = Math.ceil(min / step - 1e-9);
  const last = Math.floor(max / step + 1e-9);
  return Array.from({ length: last - first + 1 }, (_, i) => Number(((first + i) * step).toPrecision(12)));
}

/** Decimals that tell neighbouring ticks apart. */
export function digitsOf(ticks: readonly number[]): number {
  if (ticks.length < 2) return 0;
  return Math.max(0, -Math.floor(Math.log10(ticks[1]! - ticks[0]!) + 1e-9));
}

const timeSteps = [0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200];

/** Times to rule a page by: whole steps of a clock, at most about `most`. */
export function roundTimes(from: number, to: number, most: number): number[] {
  const step = timeSteps.find((s) => (to - from) / s <= Math.max(1, most)) ?? 14_400;
  const first = Math.ceil(from / step - 1e-9);
  const last = Math.floor(to / step + 1e-9);
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, i) =>
    Number(((first + i) * step).toPrecision(12)),
  );
}

/** A straight scale from [d0, d1] to [r0, r1]. */
export function scale(d0: number, d1: number, r0: number, r1: number): (value: number) => number {
  const k = d1 === d0 ? 0 : (r1 - r0) / (d1 - d0);
  return (value) => r0 + (value - d0) * k;
}
