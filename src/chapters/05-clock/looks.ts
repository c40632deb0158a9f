import type { ClockLine } from "./line.ts";

// What both looks share.

/** Samples of one block of a correlation, at the listening rate. */
export const blockSamples = 8192;
/** Peaks lower than this many times their window's noise say nothing. */
export const leastPeak = 2.5;
/** And beyond this a higher peak is not more to be trusted: a talker near one microphone must not outvote another. */
export const mostPeakTrust = 40;

/** Where the lag is positive the other heard it later than the line says, so the line lies that much lower. */
export function corrected(
  line: ClockLine,
  vote: { middle: number; lagAtMiddle: number; slope: number },
): ClockLine {
  return {
    offset: line.offset - vote.lagAtMiddle + vote.slope * vote.middle,
    ratePpm: line.ratePpm - vote.slope * 1e6,
  };
}

export function largestSize(x: Float32Array): number {
  let most = 0;
  for (let i = 0; i < x.length; i++) most = Math.max(most, Math.abs(x[i]!));
  return most;
}
