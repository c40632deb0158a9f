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

/** Lags -reach to reach of a circular correlation, lag 0 in the middle. */
export function middleOf(r: Float32Array, reach: number): Float32Array {
  const slice = new Float32Array(2 * reach + 1);
  slice.set(r.subarray(r.length - reach), 0);
  slice.set(r.subarray(0, reach + 1), reach);
  return slice;
}

/** Of a whole correlation: what there is where nothing is shared. */
export function rootMeanSquare(x: Float32Array): number {
  let sum = 0;
  for (let i = 0; i < x.length; i++) sum += x[i]! * x[i]!;
  return Math.sqrt(sum / x.length);
}
