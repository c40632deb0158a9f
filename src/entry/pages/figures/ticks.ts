import { clockTime } from "../words/times.ts";

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

const timeSteps = [0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200];

/** Times to rule a page by, with their labels: "0:10" below a minute's step, "10 min" from there. */
export function timeTicks(from: number, to: number, most: number): { at: number; label: string }[] {
  if (!(to > from)) return [];
  const step = timeSteps.find((s) => (to - from) / s <= Math.max(1, most)) ?? 14_400;
  const first = Math.ceil(from / step - 1e-9);
  const last = Math.floor(to / step + 1e-9);
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, i) => {
    const at = Number(((first + i) * step).toPrecision(12));
    return { at, label: step >= 60 ? minutes(at) : clockTime(at, step < 1) };
  });
}

function minutes(at: number): string {
  const m = Math.round(at / 60);
  if (m < 60) return `${m} min`;
  return m % 60 === 0 ? `${m / 60} h` : `${Math.floor(m / 60)} h ${m % 60}`;
}

/** A straight scale from [d0, d1] to [r0, r1]. */
export function scale(d0: number, d1: number, r0: number, r1: number): (value: number) => number {
  const k = d1 === d0 ? 0 : (r1 - r0) / (d1 - d0);
  return (value) => r0 + (value - d0) * k;
}

/** The least round number at or above `value` that a scale may end at: 1, 1.2, 1.5, 2, 2.5 and so on times a power of ten. */
export function niceCeiling(value: number): number {
  if (!(value > 0)) return 1;
  const power = 10 ** Math.floor(Math.log10(value));
  return [1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10].map((m) => m * power).find((s) => s >= value * 0.9999)!;
}
