import type { Rate } from "./timecode-rate.ts";

// The rates that SMPTE ST 12-1 and ST 12-3 count.
const countable: readonly Rate[] = [
  { num: 24000, den: 1001 },
  { num: 24, den: 1 },
  { num: 25, den: 1 },
  { num: 30000, den: 1001 },
  { num: 30, den: 1 },
  { num: 50, den: 1 },
  { num: 60000, den: 1001 },
  { num: 60, den: 1 },
];

/**
 * The frame rate of a program led by a camera of this rate: the same where it can be counted in timecode, else
 * the nearest that can (a telephone's average of 29.87 becomes 30000/1001).
 */
export function programRate(camera: Rate): Rate {
  const distance = ({ num, den }: Rate): number =>
    Math.abs(Math.log((num / den) * (camera.den / camera.num)));
  return countable.reduce((best, rate) => (distance(rate) < distance(best) ? rate : best));
}
