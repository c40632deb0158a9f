import { roundTimes } from "#science/drawing/nice-ticks";
import { clockTime } from "../words/times.ts";

export { niceTicks, scale } from "#science/drawing/nice-ticks";

/** Times to rule a page by, with their labels: "0:10" below a minute's step, "10 min" from there. */
export function timeTicks(from: number, to: number, most: number): { at: number; label: string }[] {
  if (!(to > from)) return [];
  const times = roundTimes(from, to, most);
  const step = times.length > 1 ? times[1]! - times[0]! : to - from;
  return times.map((at) => ({ at, label: step >= 60 ? minutes(at) : clockTime(at, step < 1) }));
}

function minutes(at: number): string {
  const m = Math.round(at / 60);
  if (m < 60) return `${m} min`;
  return m % 60 === 0 ? `${m / 60} h` : `${Math.floor(m / 60)} h ${m % 60}`;
}

/** The least round number at or above `value` that a scale may end at: 1, 1.2, 1.5, 2, 2.5 and so on times a power of ten. */
export function niceCeiling(value: number): number {
  if (!(value > 0)) return 1;
  const power = 10 ** Math.floor(Math.log10(value));
  return [1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10].map((m) => m * power).find((s) => s >= value * 0.9999)!;
}
