import type { FftMaker } from "#science/signal/fft";
import { hann } from "#science/signal/hann";
import { parabolaTop } from "#science/signal/peak";
import { makePhaseCorrelator } from "#science/signal/phase-correlator";
import { sharedFloats } from "#science/signal/shared-arrays";
import { listeningRateHz, mostPpm, plainScore } from "./constants.ts";
import { directSound, mostDetourSeconds, quietBeforeSeconds, type Stack } from "./direct-sound.ts";
import { firstArrival } from "./first-arrival.ts";
import type { FirstLook } from "./first-look.ts";
import { type ClockLine, referenceTime } from "./line.ts";
import type { Listened } from "./listened.ts";
import { blockSamples, corrected, largestSize, mostPeakTrust } from "./looks.ts";
import { loudness } from "./loudness.ts";
import { mostSwaySeconds, stretchesAlong } from "./sway.ts";
import { transferBetween } from "./transfer.ts";
import { voteForLine } from "./vote.ts";
import { chooseWindows, correlateWindow } from "./windows.ts";

const band = [150 / listeningRateHz, 7000 / listeningRateHz] as const;
const windowSeconds = 2.048;
const mostWindows = 400;
const upsample = 8;
/** Reach of the second look on either side of the line, seconds. */
const sliceSeconds = 0.03;
/** And of what is kept of every window, for the direct sound may come earlier than what stands on the line. */
const keptSeconds = mostDetourSeconds + quietBeforeSeconds + 0.002;
const fineRate = listeningRateHz * upsample;
const sliceReach = Math.round(keptSeconds * fineRate);
const sliceLength = 2 * sliceReach + 1;
const bins = blockSamples / 2;
/** Reach for the line itself, where the first look was plain. */
const plainSeconds = 0.0015;
/** How far a window's own peak may lie from the direct sound: a head moves by some centimetres. */
const headSeconds = 0.0006;
/** First arrivals found in two ways are the same within this. */
const sameArrivalSeconds = 0.0004;

/** One window's finding. */
export interface MeasuredWindow {
  /** Local seconds of the other recording. */
  readonly at: number;
  /** Reference time at which the reference heard what the other heard at `at`. */
  readonly referenceAt: number;
  /** Trust, 0 and up: the square of the peak's height over its noise, less where the reference is soft. */
  readonly weight: number;
  /** How loud the reference is there against its loud windows, 0 to 1. */
  readonly loud: number;
  /** Whether the peak belongs to the line (the sitter's direct sound). */
  readonly used: boolean;
}

/** Two recordings compared along one placement. */
export interface FineMatch {
  readonly line: ClockLine;
  /** Height of the correlations summed along the line over their noise, mean of both looks; see `leastFineScore`. */
  readonly score: number;
  /** Share of the trusted windows whose highest peak is on the line. */
  readonly agreement: number;
  /**
   * All that both heard was soft in the reference: most likely another talker than the one nearest to it, whose
   * sound took another way.
   */
  readonly isSoft: boolean;
  /** The other microphone hears the waveform upside down. */
  readonly isInverted: boolean;
  readonly windows: readonly MeasuredWindow[];
  /** What the choice of the direct sound among all peaks leaves open, one standard deviation, seconds. */
  readonly doubtSeconds: number;
}

/** Room for what windows along a line give, one after the other; on memory that threads share. */
export interface LookMemory {
  /** Correlations about the line, {@link keptSeconds} on either side. */
  readonly slices: Float32Array;
  /** How much each frequency counted. */
  readonly counts: Float32Array;
}

export const lookMemory = (windows: number = mostWindows): LookMemory => ({
  slices: sharedFloats(windows * sliceLength),
  counts: sharedFloats(windows * bins),
});

const sliceOf = ({ slices }: LookMemory, i: number) =>
  slices.subarray(i * sliceLength, (i + 1) * sliceLength);
const countsOf = ({ counts }: LookMemory, i: number) => counts.subarray(i * bins, (i + 1) * bins);

/** A share of the windows of a second look, part `part` of `parts`. */
export interface Share {
  readonly part: number;
  readonly parts: number;
}

/**
 * Compares windows along a line: what takes longest of a second look, and can be done by several threads at once.
 *
 * @param memory - Filled where those windows have their places.
 * @returns the noise of each.
 */
export async function lookAlong(
  makeFft: FftMaker,
  reference: Listened,
  other: Listened,
  along: ClockLine,
  pause: () => Promise<void>,
  memory: LookMemory,
  { part, parts }: Share = { part: 0, parts: 1 },
): Promise<number[]> {
  const windows = windowsAlong(reference, other, along);
  const correlator = correlatorFor(makeFft, reference, other);
  const noises: number[] = [];
  const end = Math.round((windows.length * (part + 1)) / parts);
  for (let i = Math.round((windows.length * part) / parts); i < end; i++) {
    await pause();
    await correlateWindow(correlator, reference.sound, other.sound, along, windows[i]!.at, windowSeconds);
    const counts = countsOf(memory, i).fill(0);
    correlator.addCounts(counts, 1);
    const { values, noise } = correlator.correlationAround(sliceReach);
    sliceOf(memory, i).set(values);
    noises.push(noise);
  }
  return noises;
}

const windowsAlong = (reference: Listened, other: Listened, along: ClockLine) =>
  chooseWindows(reference.onsets, other.onsets, along, other.seconds, windowSeconds, mostWindows);

const correlatorFor = (makeFft: FftMaker, reference: Listened, other: Listened) =>
  makePhaseCorrelator(makeFft, blockSamples, {
    upsample,
    band,
    window: hann(blockSamples),
    usualPower: [reference.onsets.meanPower, other.onsets.meanPower],
  });

/**
 * Second look: along the line, finely; the direct sound of the talker who is loudest in the reference.
 *
 * @param looked - What {@link lookAlong} gave along that line, where somebody did so already.
 */
export async function secondLook(
  makeFft: FftMaker,
  reference: Listened,
  other: Listened,
  { line: along, isPlain, score: firstScore }: FirstLook,
  pause: () => Promise<void>,
  looked?: { readonly memory: LookMemory; readonly noises: readonly number[] },
): Promise<FineMatch | null> {
  const windows = windowsAlong(reference, other, along);
  if (windows.length === 0) return null;
  const memory = looked?.memory ?? lookMemory(windows.length);
  const noises = looked?.noises ?? (await lookAlong(makeFft, reference, other, along, pause, memory));
  const slices = windows.map((_, i) => sliceOf(memory, i));
  const counts = windows.map((_, i) => countsOf(memory, i));
  const loud = loudness(windows, reference, other);
  const highestOf = slices.map((slice, i) => {
    const within = Math.round((isPlain ? plainSeconds : sliceSeconds) * fineRate);
    const [peak] = highestIn(slice, sliceReach - within, sliceReach + within + 1, true);
    return { ...peak!, trust: trust(Math.abs(peak!.height), noises[i]!) * loud[i]! };
  });
  const spread = Math.max(1, (windows.at(-1)!.at - windows[0]!.at) / 2);
  const vote = voteForLine(
    highestOf.map((top, i) => ({
      at: windows[i]!.at,
      lag: (top.index - sliceReach) / fineRate,
      weight: top.trust,
    })),
    Math.min(mostPpm, (isPlain ? 500 : 4000) / spread) * 1e-6,
    0.0002,
    isPlain ? plainSeconds : sliceSeconds,
  );
  if (!vote || vote.on === 0) return null;
  // The windows that vote for the line, laid over each other along it: what is theirs adds up.
  const onLine = (i: number) =>
    (vote.lagAtMiddle + vote.slope * (windows[i]!.at - vote.middle)) * fineRate + sliceReach;
  const own = (i: number) => Math.abs(highestOf[i]!.index - onLine(i)) < 0.0004 * fineRate;
  const stackReach = Math.round((mostDetourSeconds + quietBeforeSeconds) * fineRate);
  const headReach = Math.round(headSeconds * fineRate);
  const stackOf = (weight: (i: number) => number): Stack => ({
    sum: stacked(slices, onLine, stackReach, weight),
    noise: noiseOfSum(noises, weight),
  });
  const heard = slices.map((slice, i) => trust(largestSize(slice), noises[i]!));
  const ownTrust = (i: number) => (own(i) ? highestOf[i]!.trust : 0);
  const ownStack = stackOf(ownTrust);
  const everything = stackOf((i) => loud[i]!);
  const [main] = highestIn(ownStack.sum, stackReach - headReach, stackReach + headReach + 1, true);
  const sign = main!.height < 0 ? -1 : 1;
  const stacks = {
    own: ownStack,
    loud: stackOf((i) => (loud[i]! >= 0.5 ? heard[i]! : 0)),
    soft: stackOf((i) => (loud[i]! < 0.35 ? heard[i]! : 0)),
  };
  const nearness = reference.isNear ? 1 : other.isNear ? -1 : 0;
  const direct = directSound(
    stacks,
    main!.index,
    sign,
    fineRate,
    nearness,
    kernelOf(counts, ownTrust, stackReach),
  );
  const top = maximumNear(everything.sum, stackReach, 0.001 * fineRate);
  const secondScore = everything.noise > 0 ? top / everything.noise : 0;
  const score = (firstScore + secondScore) / 2;
  const followed = measuredAbout(direct.followed - stackReach);
  let shift = direct.index - stackReach;
  let doubtSeconds = direct.doubt / fineRate;
  let measured = shift === direct.followed - stackReach ? followed : measuredAbout(shift);
  if (nearness !== 0 && !direct.isOther && score >= plainScore) {
    const followedLine = corrected(along, {
      ...vote,
      lagAtMiddle: vote.lagAtMiddle + (direct.followed - stackReach) / fineRate,
    });
    const [near, far] = nearness > 0 ? [reference, other] : [other, reference];
    const stretches = stretchesAlong(followed, followedLine, nearness);
    const transfer = await transferBetween(
      makeFft,
      near.sound,
      far.sound,
      stretches,
      upsample,
      stackReach,
      pause,
    );
    const first = transfer && firstArrival(transfer, sign, fineRate);
    if (first) {
      const firstShift = direct.followed - stackReach + nearness * first.lag;
      // Where both ways agree, the windows and the doubt stay: in a bad room both may take the same reflection.
      // Else it is the reflection's time in each window, less its detour.
      if (Math.abs(firstShift - shift) > sameArrivalSeconds * fineRate) {
        shift = firstShift;
        doubtSeconds = first.doubt / fineRate;
        const later = (nearness * first.lag) / fineRate;
        measured = followed.map((w) => ({
          ...w,
          referenceAt: w.referenceAt - later,
          // Further off than a head moves it is another reflection.
          used: w.used && Math.abs(w.referenceAt - referenceTime(followedLine, w.at)) < mostSwaySeconds,
        }));
      }
    }
  }
  const directLine = corrected(along, { ...vote, lagAtMiddle: vote.lagAtMiddle + shift / fineRate });
  return {
    line: directLine,
    score,
    agreement: vote.all > 0 ? Math.min(1, vote.on / vote.all) : 0,
    isSoft: direct.isOther || loud.every((l) => l < 0.5),
    isInverted: sign < 0,
    windows: measured,
    doubtSeconds,
  };

  /** Each window's own delay, looked for about a peak of the stacks. */
  function measuredAbout(shift: number): MeasuredWindow[] {
    return slices.map((slice, i): MeasuredWindow => {
      const expected = onLine(i) + shift;
      const half = headSeconds * fineRate;
      const [peak] = highestIn(
        slice,
        Math.ceil(expected - half),
        Math.floor(expected + half) + 1,
        false,
        sign,
      );
      const at = windows[i]!.at;
      if (!peak) return { at, referenceAt: referenceTime(along, at), weight: 0, loud: loud[i]!, used: false };
      const lag = (peak.index - sliceReach) / fineRate;
      const weight = trust(peak.height * sign, noises[i]!) * loud[i]!;
      return { at, referenceAt: referenceTime(along, at) - lag, weight, loud: loud[i]!, used: weight > 0 };
    });
  }

  /** What one peak of height 1 looks like where these windows are laid over each other. */
  function kernelOf(
    parts: readonly Float32Array[],
    weight: (i: number) => number,
    half: number,
  ): Float32Array {
    const sum = new Float32Array(bins);
    parts.forEach((part, i) => {
      const w = weight(i);
      if (w > 0) for (let k = 0; k < sum.length; k++) sum[k]! += w * part[k]!;
    });
    const kernel = correlatorFor(makeFft, reference, other).kernelAround(sum, half);
    const top = kernel[half]! || 1;
    return kernel.map((v) => v / top);
  }
}

function trust(height: number, noise: number): number {
  return noise > 0 ? Math.min(mostPeakTrust, Math.max(0, height / noise - 3) ** 2) : 0;
}

/** What a weighted mean of windows that have nothing in common comes to: each one's noise, added as chance adds. */
function noiseOfSum(noises: readonly number[], weight: (i: number) => number): number {
  let squares = 0;
  let weights = 0;
  noises.forEach((noise, i) => {
    squares += (weight(i) * noise) ** 2;
    weights += weight(i);
  });
  return weights > 0 ? Math.sqrt(squares) / weights : 0;
}

interface Peak {
  readonly index: number;
  readonly height: number;
}

/** The highest local top in [from, end), with its place between the samples; of either sign, or of one. */
function highestIn(x: Float32Array, from: number, end: number, eitherSign: boolean, sign = 1): Peak[] {
  let best = -1;
  let most = Number.NEGATIVE_INFINITY;
  const first = Math.max(1, from);
  const last = Math.min(x.length - 1, end);
  for (let i = first; i < last; i++) {
    const v = eitherSign ? Math.abs(x[i]!) : x[i]! * sign;
    if (v > most) [most, best] = [v, i];
  }
  if (best < 0) return [];
  const top = parabolaTop(x[best - 1]!, x[best]!, x[best + 1]!);
  return [{ index: best + Math.max(-0.5, Math.min(0.5, top)), height: x[best]! }];
}

function stacked(
  slices: readonly Float32Array[],
  centre: (i: number) => number,
  reach: number,
  weight: (i: number) => number,
): Float32Array {
  const sum = new Float32Array(2 * reach + 1);
  let all = 0;
  slices.forEach((slice, s) => {
    const w = weight(s);
    if (w <= 0) return;
    all += w;
    addBetween(sum, slice, centre(s) - reach, w);
  });
  if (all > 0) for (let i = 0; i < sum.length; i++) sum[i]! /= all;
  return sum;
}

/** sum[i] += w x[at + i], between two values along a straight line; zeros outside. */
function addBetween(sum: Float32Array, x: Float32Array, at: number, w: number): void {
  const whole = Math.floor(at);
  const part = at - whole;
  const end = Math.min(sum.length, x.length - whole - 1);
  for (let i = Math.max(0, -whole); i < end; i++) {
    const a = x[whole + i]!;
    sum[i]! += w * (a + part * (x[whole + i + 1]! - a));
  }
}

function maximumNear(stack: Float32Array, centre: number, reach: number): number {
  let most = 0;
  for (let i = Math.max(0, Math.floor(centre - reach)); i <= Math.min(stack.length - 1, centre + reach); i++)
    most = Math.max(most, Math.abs(stack[i]!));
  return most;
}
