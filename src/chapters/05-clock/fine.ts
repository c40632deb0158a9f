import type { FftMaker } from "#science/signal/fft";
import { hann } from "#science/signal/hann";
import { parabolaTop } from "#science/signal/peak";
import { makePhaseCorrelator } from "#science/signal/phase-correlator";
import type { CoarsePlacement } from "./coarse.ts";
import type { SoundStretch } from "./compact-sound.ts";
import { listeningRateHz, mostPpm } from "./constants.ts";
import { type ClockLine, referenceTime } from "./line.ts";
import type { Onsets } from "./onsets.ts";
import { voteForLine } from "./vote.ts";
import { type ChosenWindow, chooseWindows, correlateWindow, percentile } from "./windows.ts";

/** What a pair of recordings is compared by. */
export interface Listened {
  readonly sound: SoundStretch;
  readonly onsets: Onsets;
  readonly seconds: number;
}

/** One window's finding. */
export interface MeasuredWindow {
  /** Local seconds of the other recording. */
  readonly at: number;
  /** Reference time at which the reference heard what the other heard at `at`. */
  readonly referenceAt: number;
  /** Trust, 0 and up: the square of the peak's height over its noise, less where the reference is soft. */
  readonly weight: number;
  /** Whether the peak belongs to the line (the sitter's direct sound). */
  readonly used: boolean;
}

/** Two recordings compared along one placement. */
export interface FineMatch {
  readonly line: ClockLine;
  /** Height of the summed correlation over its own noise; see `leastFineScore`. */
  readonly score: number;
  /** Share of the trusted windows whose highest peak is on the line. */
  readonly agreement: number;
  /** The other microphone hears the waveform upside down. */
  readonly isInverted: boolean;
  readonly windows: readonly MeasuredWindow[];
}

const band = [150 / listeningRateHz, 7000 / listeningRateHz] as const;
const blockSamples = 8192;
const firstWindowSeconds = 1.024;
const mostFirstWindows = 150;
const secondWindowSeconds = 2.048;
const mostSecondWindows = 400;
const upsample = 8;
/** Reach of the second look on either side of the line, seconds. */
const sliceSeconds = 0.015;
/** How far a window's own peak may lie from the direct sound: a head moves by some centimetres. */
const headSeconds = 0.0006;

/** First look: wide search in short windows; the line that most of the loud windows vote for. */
export async function firstLook(
  makeFft: FftMaker,
  reference: Listened,
  other: Listened,
  placement: CoarsePlacement,
  pause: () => Promise<void>,
): Promise<ClockLine | null> {
  const start = roughLine(placement);
  const windows = chooseWindows(
    reference.onsets,
    start.line,
    other.seconds,
    firstWindowSeconds,
    mostFirstWindows,
  );
  if (windows.length === 0) return null;
  const correlator = makePhaseCorrelator(makeFft, blockSamples, {
    upsample: 1,
    band,
    window: hann(blockSamples),
  });
  const r = new Float32Array(blockSamples);
  const loud = loudness(windows);
  const spread = (windows.at(-1)!.at - windows[0]!.at) / 2;
  const range = Math.min(0.2, 0.03 + start.ratePpmSpread * 1e-6 * spread);
  const sightings = [];
  for (const [i, window] of windows.entries()) {
    await pause();
    await correlateWindow(
      correlator,
      reference.sound,
      other.sound,
      start.line,
      window.at,
      firstWindowSeconds,
    );
    correlator.correlation(r);
    const noise = rootMeanSquare(r);
    if (noise === 0) continue;
    for (const peak of highest(r, Math.round(range * listeningRateHz), 3))
      sightings.push({
        at: window.at,
        lag: peak.lag / listeningRateHz,
        weight: Math.min(1, Math.max(0, peak.height / noise - 4) / 12) * loud[i]!,
      });
  }
  const vote = voteForLine(sightings, start.ratePpmSpread * 1e-6, 0.0005, range);
  if (!vote || vote.on === 0) return null;
  return corrected(start.line, vote);
}

/** Second look: along the line, finely; the direct sound of the talker who is loudest in the reference. */
export async function secondLook(
  makeFft: FftMaker,
  reference: Listened,
  other: Listened,
  along: ClockLine,
  pause: () => Promise<void>,
): Promise<FineMatch | null> {
  const windows = chooseWindows(
    reference.onsets,
    along,
    other.seconds,
    secondWindowSeconds,
    mostSecondWindows,
  );
  if (windows.length === 0) return null;
  const correlator = makePhaseCorrelator(makeFft, blockSamples, {
    upsample,
    band,
    window: hann(blockSamples),
  });
  const r = new Float32Array(blockSamples * upsample);
  const fineRate = listeningRateHz * upsample;
  const reach = Math.round(sliceSeconds * fineRate);
  const slices: Float32Array[] = [];
  const noises: number[] = [];
  for (const window of windows) {
    await pause();
    await correlateWindow(correlator, reference.sound, other.sound, along, window.at, secondWindowSeconds);
    correlator.correlation(r);
    const slice = new Float32Array(2 * reach + 1);
    for (let i = -reach; i <= reach; i++) slice[i + reach] = r[(i + r.length) % r.length]!;
    slices.push(slice);
    noises.push(rootMeanSquare(r));
  }
  const loud = loudness(windows);
  const tops = slices.map((slice, i) => {
    const [peak] = highestIn(slice, 0, slice.length, true);
    return { ...peak!, trust: trust(Math.abs(peak!.height), noises[i]!) * loud[i]! };
  });
  const spread = Math.max(1, (windows.at(-1)!.at - windows[0]!.at) / 2);
  const vote = voteForLine(
    tops.map((top, i) => ({ at: windows[i]!.at, lag: (top.index - reach) / fineRate, weight: top.trust })),
    Math.min(mostPpm, 4e3 / spread) * 1e-6,
    0.0002,
    sliceSeconds,
  );
  if (!vote || vote.on === 0) return null;
  // The windows that vote for the line, laid over each other along it: what is theirs adds up.
  const onLine = (i: number) =>
    (vote.lagAtMiddle + vote.slope * (windows[i]!.at - vote.middle)) * fineRate + reach;
  const own = (i: number) => Math.abs(tops[i]!.index - onLine(i)) < 0.0004 * fineRate;
  const stackReach = Math.round(0.008 * fineRate);
  const stack = stacked(slices, onLine, stackReach, (i) => (own(i) ? tops[i]!.trust : 0));
  const everything = stacked(slices, onLine, stackReach, (i) => loud[i]!);
  const [main] = highestIn(stack, Math.round(stackReach * 0.85), Math.round(stackReach * 1.15), true);
  const sign = main!.height < 0 ? -1 : 1;
  const direct = directSound(stack, main!.index, sign, fineRate);
  const shift = direct - stackReach;
  const measured = slices.map((slice, i): MeasuredWindow => {
    const expected = onLine(i) + shift;
    const half = headSeconds * fineRate;
    const [peak] = highestIn(slice, Math.ceil(expected - half), Math.floor(expected + half) + 1, false, sign);
    const at = windows[i]!.at;
    if (!peak) return { at, referenceAt: referenceTime(along, at), weight: 0, used: false };
    const lag = (peak.index - reach) / fineRate;
    const weight = trust(peak.height * sign, noises[i]!) * loud[i]!;
    return { at, referenceAt: referenceTime(along, at) - lag, weight, used: weight > 0 };
  });
  // What the sum would be of windows that have nothing in common: each one's noise, added as chance adds.
  const stackNoise =
    Math.sqrt(loud.reduce((sum, w, i) => sum + (w * noises[i]!) ** 2, 0)) / loud.reduce((a, b) => a + b, 0);
  const score = stackNoise > 0 ? maximumNear(everything, stackReach, 0.001 * fineRate) / stackNoise : 0;
  const directLine = corrected(along, { ...vote, lagAtMiddle: vote.lagAtMiddle + shift / fineRate });
  return {
    line: directLine,
    score,
    agreement: vote.all > 0 ? Math.min(1, vote.on / vote.all) : 0,
    isInverted: sign < 0,
    windows: measured,
  };
}

/** The line through the coarse matches, and how far off its rate may be. */
function roughLine(placement: CoarsePlacement): { line: ClockLine; ratePpmSpread: number } {
  const { matches } = placement;
  const weights = matches.map((m) => m.score ** 2);
  const all = weights.reduce((a, b) => a + b, 0);
  const meanAt = matches.reduce((sum, m, i) => sum + m.at * weights[i]!, 0) / all;
  const meanOffset = matches.reduce((sum, m, i) => sum + m.offset * weights[i]!, 0) / all;
  let spread = 0;
  let lean = 0;
  matches.forEach((m, i) => {
    spread += weights[i]! * (m.at - meanAt) ** 2;
    lean += weights[i]! * (m.at - meanAt) * (m.offset - meanOffset);
  });
  const deviation = Math.sqrt(spread / all);
  // Each match is good to about 10 ms: beyond a lever of some minutes that is better than the limit itself.
  const ratePpmSpread = Math.min(mostPpm, deviation > 0 ? 3e4 / deviation : mostPpm);
  const slope = ratePpmSpread < mostPpm ? lean / spread : 0;
  const ratePpm = Math.max(-mostPpm, Math.min(mostPpm, slope * 1e6));
  return { line: { offset: meanOffset - ratePpm * 1e-6 * meanAt, ratePpm }, ratePpmSpread };
}

/** Where the lag is positive the other heard it later than the line says, so the line lies that much lower. */
function corrected(line: ClockLine, vote: { middle: number; lagAtMiddle: number; slope: number }): ClockLine {
  return {
    offset: line.offset - vote.lagAtMiddle + vote.slope * vote.middle,
    ratePpm: line.ratePpm - vote.slope * 1e6,
  };
}

/** 1 for the loud windows of the reference, falling with level: 20 dB softer counts a hundredth. */
function loudness(windows: readonly ChosenWindow[]): number[] {
  const loudDb = percentile(
    windows.map((w) => w.levelDb),
    0.8,
  );
  return windows.map((w) => Math.min(1, 10 ** ((w.levelDb - loudDb + 3) / 10)));
}

function trust(height: number, noise: number): number {
  return noise > 0 ? Math.max(0, height / noise - 3) ** 2 : 0;
}

interface Peak {
  readonly index: number;
  readonly height: number;
}

/** Highest peaks, either sign, of a circular correlation within `range` of lag 0. */
function highest(r: Float32Array, range: number, count: number): { lag: number; height: number }[] {
  const peaks: { lag: number; height: number }[] = [];
  const n = r.length;
  for (let lag = -range; lag <= range; lag++) {
    const v = Math.abs(r[(lag + n) % n]!);
    if (v < Math.abs(r[(lag - 1 + n) % n]!) || v <= Math.abs(r[(lag + 1 + n) % n]!)) continue;
    peaks.push({ lag, height: v });
  }
  return peaks.sort((p, q) => q.height - p.height).slice(0, count);
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
    const at = centre(s) - reach;
    const whole = Math.floor(at);
    const part = at - whole;
    for (let i = 0; i < sum.length; i++) {
      const a = slice[whole + i] ?? 0;
      const b = slice[whole + i + 1] ?? 0;
      sum[i]! += w * (a + part * (b - a));
    }
  });
  if (all > 0) for (let i = 0; i < sum.length; i++) sum[i]! /= all;
  return sum;
}

/**
 * The direct sound in a stack of one talker's windows: a reflection that outshines it comes later, so an earlier
 * peak in the very same windows that is not much lower is the direct sound.
 */
function directSound(stack: Float32Array, main: number, sign: number, fineRate: number): number {
  const height = stack[Math.round(main)]! * sign;
  const from = Math.max(1, Math.round(main - 0.006 * fineRate));
  for (let i = from; i < main - 0.0003 * fineRate; i++) {
    const v = stack[i]! * sign;
    if (v < 0.45 * height || v < stack[i - 1]! * sign || v <= stack[i + 1]! * sign) continue;
    return i + parabolaTop(stack[i - 1]!, stack[i]!, stack[i + 1]!);
  }
  return main;
}

function maximumNear(stack: Float32Array, centre: number, reach: number): number {
  let most = 0;
  for (let i = Math.max(0, Math.floor(centre - reach)); i <= Math.min(stack.length - 1, centre + reach); i++)
    most = Math.max(most, Math.abs(stack[i]!));
  return most;
}

function rootMeanSquare(x: Float32Array): number {
  let sum = 0;
  for (let i = 0; i < x.length; i++) sum += x[i]! * x[i]!;
  return Math.sqrt(sum / x.length);
}
