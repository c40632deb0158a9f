/*
 * The numbers that Clock stands on, each with its reason. "Common practice" marks a custom of the trade, not a
 * published value.
 */

/** Rate at which recordings are listened to: speech and all that its delay needs lies under 8 kHz. */
export const listeningRateHz = 16_000;

/** Samples from one onset frame to the next: 16 ms. */
export const onsetHopSamples = 256;

/** Sound kept in memory while it lasts, all recordings together, in samples (two bytes each); beyond it is put aside. */
export const mostSamplesKept = 3000 * listeningRateHz;

/** Clocks of two devices may differ by this much; REFERENCES 7 suggests it as the search limit. */
export const mostPpm = 300;

/** A clock further off than this is unusual enough to say so (REFERENCES 7, suggestion). */
export const unusualPpm = 100;

/** Metres per second in air at 20 degrees: 331.3 sqrt(1 + 20 / 273.15). */
export const speedOfSound = 343.21;

/** Distance from mouth to microphone where nobody told it, metres. Common practice. */
export const usualDistanceMetres = {
  lav: 0.2,
  boom: 0.6,
  scratch: 2,
  interviewer: 1.5,
} as const;

/** Below this a channel is taken as not connected, dBFS, root mean square of its loudest second. */
export const silentBelowDb = -75;

/** Shortest overlap that is tried, seconds. */
export const leastOverlapSeconds = 3;

/** Peaks of the whole-length comparison below this many standard deviations are not even looked at; chance reaches 4 to 6. */
export const leastCoarseScore = 3.5;

/**
 * A placement by sound needs correlations that sum, along its line, to this many times their own noise. Measured on
 * unrelated pairs of 20 to 60 s (synthetic voices, noise, music against voices; docs/clock-bench.md): 5.8 as a median,
 * 7.8 in the highest hundredth, 10.4 in the highest thousandth, 12.1 at most. Music against music of the same notes
 * stands higher, and is known by fitting in several places. Of the related clips of the bench (rooms to 1.2 s, -5 dB,
 * 20 s and more) none was lost.
 */
export const leastFineScore = 13;

/** Sums of the first look above this stand out by themselves; strangers stay under it over every slope and lag. */
export const plainScore = 10;

/** What the heads, the air and the rooms do beside noise: added to every uncertainty, seconds. */
export const uncertaintyFloorSeconds = 20e-6;

/** A head sways by some centimetres, to and fro in some seconds: what a short recording cannot average out, seconds. */
export const headSwaySeconds = 1.2e-4;
export const headSwayPeriodSeconds = 5;

/** How far another talker's sound may be from the sitter's: two metres of way. Common practice. */
export const otherTalkerSeconds = 0.006;
