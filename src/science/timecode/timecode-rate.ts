import { ExplainedError } from "#errors/explained-error";

/** Frames per second as an exact fraction. */
export interface Rate {
  readonly num: number;
  readonly den: number;
}

/** How a rate is counted in labels. */
export interface TimecodeCount {
  /** Labels a second: the rate rounded up to a whole number, 24 for 24000/1001. */
  readonly labelsPerSecond: number;
  /** Labels that drop-frame counting skips in a minute: 2 at 29.97, 4 at 59.94, else none can be skipped. */
  readonly droppedPerMinute: number;
}

// SMPTE ST 12-1 (24, 25, 30 and their 1000/1001 rates), ST 12-3 for the doubled ones.
const counts = new Map<string, TimecodeCount>([
  ["24000/1001", { labelsPerSecond: 24, droppedPerMinute: 0 }],
  ["24/1", { labelsPerSecond: 24, droppedPerMinute: 0 }],
  ["25/1", { labelsPerSecond: 25, droppedPerMinute: 0 }],
  ["30000/1001", { labelsPerSecond: 30, droppedPerMinute: 2 }],
  ["30/1", { labelsPerSecond: 30, droppedPerMinute: 0 }],
  ["48000/1001", { labelsPerSecond: 48, droppedPerMinute: 0 }],
  ["48/1", { labelsPerSecond: 48, droppedPerMinute: 0 }],
  ["50/1", { labelsPerSecond: 50, droppedPerMinute: 0 }],
  ["60000/1001", { labelsPerSecond: 60, droppedPerMinute: 4 }],
  ["60/1", { labelsPerSecond: 60, droppedPerMinute: 0 }],
]);

/**
 * How frames of this rate are labelled.
 *
 * @throws ExplainedError `TIMECODE_RATE_UNSUPPORTED`: no timecode is defined for the rate, or drop-frame counting
 *   is asked for at a rate that has none.
 */
export function timecodeCount(rate: Rate, dropFrame: boolean): TimecodeCount {
  const divisor = greatestCommonDivisor(rate.num, rate.den);
  const count = counts.get(`${rate.num / divisor}/${rate.den / divisor}`);
  const perSecond = Number((rate.num / rate.den).toFixed(3));
  if (!count)
    throw new ExplainedError(
      "TIMECODE_RATE_UNSUPPORTED",
      {
        happened: `No timecode is defined for ${perSecond} frames a second.`,
        means:
          "Labels count whole frames at 23.976, 24, 25, 29.97, 30, 47.952, 48, 50, 59.94 or 60 a second.",
        doNext: "Choose one of these rates, or leave the timecode out.",
      },
      { num: rate.num, den: rate.den },
    );
  if (dropFrame && count.droppedPerMinute === 0)
    throw new ExplainedError(
      "TIMECODE_RATE_UNSUPPORTED",
      {
        happened: `Drop-frame counting does not exist at ${perSecond} frames a second.`,
        means: "It keeps labels near clock time at 29.97 and 59.94 and has no rule for any other rate.",
        doNext: "Count without dropping: write the label with a colon before the frames.",
      },
      { num: rate.num, den: rate.den, dropFrame },
    );
  return count;
}

function greatestCommonDivisor(a: number, b: number): number {
  return b === 0 ? a : greatestCommonDivisor(b, a % b);
}
