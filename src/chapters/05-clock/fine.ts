import type { FftMaker } from "#science/signal/fft";
import { hann } from "#science/signal/hann";
import { parabolaTop } from "#science/signal/peak";
import { makePhaseCorrelator } from "#science/signal/phase-correlator";
import { type ScannedLine, scanSlopes } from "#science/signal/slope-scan";
import type { CoarsePlacement } from "./coarse.ts";
import type { SoundStretch } from "./compact-sound.ts";
import { listeningRateHz, mostPpm, plainScore } from "./constants.ts";
import { directSound, mostDetourSeconds, quietBeforeSeconds, type Stack } from "./direct-sound.ts";
import { type ClockLine, referenceTime } from "./line.ts";
import { framesPerSecond, type Onsets } from "./onsets.ts";
import { type Sighting, voteForLine } from "./vote.ts";
import { type ChosenWindow, chooseWindows, correlateWindow, percentile } from "./windows.ts";

/** What a pair of recordings is compared by. */
export interface Listened {
  readonly sound: SoundStretch;
  readonly onsets: Onsets;
  readonly seconds: number;
  /** The microphone sits on the sitter: in it the sitter is the loud one. */
  readonly isNear?: boolean;
}

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

const band = [150 / listeningRateHz, 7000 / listeningRateHz] as const;
/** Wider peaks, for a search that steps by whole samples. */
const firstBand = [150 / listeningRateHz, 4000 / listeningRateHz] as const;
const blockSamples = 8192;
const firstWindowSeconds = 1.024;
const mostFirstWindows = 150;
const secondWindowSeconds = 2.048;
const mostSecondWindows = 400;
const upsample = 8;
/** The rises of level may come this much later than the direct sound where a room drowns it. */
const coarseSeconds = 0.06;
/** Reach of the second look on either side of the line, seconds. */
const sliceSeconds = 0.03;
/** And of what is kept of every window, for the direct sound may come earlier than what stands on the line. */
const keptSeconds = mostDetourSeconds + quietBeforeSeconds + 0.002;
/** Reach for the line itself, where the first look was plain. */
const plainSeconds = 0.0015;
/** Peaks lower than this many times their window's noise say nothing. */
const leastPeak = 2.5;
/** And beyond this a higher peak is not more to be trusted: a talker near one microphone must not outvote another. */
const mostPeakTrust = 40;
/** How far a window's own peak may lie from the direct sound: a head moves by some centimetres. */
const headSeconds = 0.0006;

/** What the first look gives: a line to half a millisecond or so, and whether sums along it stand out by themselves. */
export interface FirstLook {
  readonly line: ClockLine;
  readonly isPlain: boolean;
  /** The sum along the best line over what chance would give. */
  readonly score: number;
}

/**
 * First look: wide search in short windows. The line along which the loud windows add up most; where the sum is
 * not plain, the line that most of them vote for.
 */
export async function firstLook(
  makeFft: FftMaker,
  reference: Listened,
  other: Listened,
  placement: CoarsePlacement,
  pause: () => Promise<void>,
): Promise<FirstLook | null> {
  const start = roughLine(placement);
  const windows = chooseWindows(
    reference.onsets,
    other.onsets,
    start.line,
    other.seconds,
    firstWindowSeconds,
    mostFirstWindows,
  );
  if (windows.length === 0) return null;
  const correlator = makePhaseCorrelator(makeFft, blockSamples, {
    upsample: 1,
    band: firstBand,
    window: hann(blockSamples),
    usualPower: [reference.onsets.meanPower, other.onsets.meanPower],
  });
  const r = new Float32Array(blockSamples);
  const loud = loudness(windows, reference, other);
  const spread = (windows.at(-1)!.at - windows[0]!.at) / 2;
  const range = Math.min(0.2, coarseSeconds + start.ratePpmSpread * 1e-6 * spread);
  const reach = Math.min(blockSamples / 2 - 1, Math.round(range * listeningRateHz));
  const sightings: Sighting[] = [];
  const slices: Float32Array[] = [];
  const noises: number[] = [];
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
    slices.push(middleOf(r, reach));
    noises.push(noise);
    if (noise === 0) continue;
    for (const peak of tops(r, reach, leastPeak * noise))
      sightings.push({
        at: window.at,
        lag: peak.lag / listeningRateHz,
        weight: Math.min(mostPeakTrust, (peak.height / noise - leastPeak) ** 2) * loud[i]!,
      });
  }
  const mostSlope = start.ratePpmSpread * 1e-6;
  const moments = windows.map((w) => w.at);
  const vote = voteForLine(sightings, mostSlope, 0.0005, range);
  const scan = (most: { slope: number; lag: number }, about?: { slope: number; lag: number }) =>
    scanSlopes(slices, noises, moments, loud, most, about);
  // Near the vote first, which costs next to nothing; everywhere only where that is not plain beyond doubt.
  let sum: ScannedLine | null = null;
  if (vote)
    sum = scan(
      {
        slope: Math.min(mostSlope, 0.001 / Math.max(1, spread)) * listeningRateHz,
        lag: 0.001 * listeningRateHz,
      },
      { slope: vote.slope * listeningRateHz, lag: vote.lagAtMiddle * listeningRateHz },
    );
  if (!sum || sum.score < 2 * plainScore) sum = scan({ slope: mostSlope * listeningRateHz, lag: reach });
  if (sum && sum.score >= plainScore)
    return {
      isPlain: true,
      score: sum.score,
      line: corrected(start.line, {
        middle: sum.middle,
        lagAtMiddle: sum.lag / listeningRateHz,
        slope: sum.slope / listeningRateHz,
      }),
    };
  return vote && vote.on > 0
    ? { isPlain: false, score: sum?.score ?? 0, line: corrected(start.line, vote) }
    : null;
}

/** Second look: along the line, finely; the direct sound of the talker who is loudest in the reference. */
export async function secondLook(
  makeFft: FftMaker,
  reference: Listened,
  other: Listened,
  { line: along, isPlain, score: firstScore }: FirstLook,
  pause: () => Promise<void>,
): Promise<FineMatch | null> {
  const windows = chooseWindows(
    reference.onsets,
    other.onsets,
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
    usualPower: [reference.onsets.meanPower, other.onsets.meanPower],
  });
  const r = new Float32Array(blockSamples * upsample);
  const fineRate = listeningRateHz * upsample;
  const reach = Math.round(keptSeconds * fineRate);
  const slices: Float32Array[] = [];
  const noises: number[] = [];
  const counts: Float32Array[] = [];
  for (const window of windows) {
    await pause();
    await correlateWindow(correlator, reference.sound, other.sound, along, window.at, secondWindowSeconds);
    correlator.correlation(r);
    const counted = new Float32Array(blockSamples / 2);
    correlator.addCounts(counted, 1);
    counts.push(counted);
    slices.push(middleOf(r, reach));
    noises.push(rootMeanSquare(r));
  }
  const loud = loudness(windows, reference, other);
  const highestOf = slices.map((slice, i) => {
    const within = Math.round((isPlain ? plainSeconds : sliceSeconds) * fineRate);
    const [peak] = highestIn(slice, reach - within, reach + within + 1, true);
    return { ...peak!, trust: trust(Math.abs(peak!.height), noises[i]!) * loud[i]! };
  });
  const spread = Math.max(1, (windows.at(-1)!.at - windows[0]!.at) / 2);
  const vote = voteForLine(
    highestOf.map((top, i) => ({
      at: windows[i]!.at,
      lag: (top.index - reach) / fineRate,
      weight: top.trust,
    })),
    Math.min(mostPpm, (isPlain ? 500 : 4000) / spread) * 1e-6,
    0.0002,
    isPlain ? plainSeconds : sliceSeconds,
  );
  if (!vote || vote.on === 0) return null;
  // The windows that vote for the line, laid over each other along it: what is theirs adds up.
  const onLine = (i: number) =>
    (vote.lagAtMiddle + vote.slope * (windows[i]!.at - vote.middle)) * fineRate + reach;
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
  const direct = directSound(
    stacks,
    main!.index,
    sign,
    fineRate,
    reference.isNear ? 1 : other.isNear ? -1 : 0,
    kernelOf(counts, ownTrust, stackReach),
  );
  const shift = direct.index - stackReach;
  const measured = slices.map((slice, i): MeasuredWindow => {
    const expected = onLine(i) + shift;
    const half = headSeconds * fineRate;
    const [peak] = highestIn(slice, Math.ceil(expected - half), Math.floor(expected + half) + 1, false, sign);
    const at = windows[i]!.at;
    if (!peak) return { at, referenceAt: referenceTime(along, at), weight: 0, loud: loud[i]!, used: false };
    const lag = (peak.index - reach) / fineRate;
    const weight = trust(peak.height * sign, noises[i]!) * loud[i]!;
    return { at, referenceAt: referenceTime(along, at) - lag, weight, loud: loud[i]!, used: weight > 0 };
  });
  const top = maximumNear(everything.sum, stackReach, 0.001 * fineRate);
  const secondScore = everything.noise > 0 ? top / everything.noise : 0;
  const directLine = corrected(along, { ...vote, lagAtMiddle: vote.lagAtMiddle + shift / fineRate });
  return {
    line: directLine,
    score: (firstScore + secondScore) / 2,
    agreement: vote.all > 0 ? Math.min(1, vote.on / vote.all) : 0,
    isSoft: direct.isOther || loud.every((l) => l < 0.5),
    isInverted: sign < 0,
    windows: measured,
    doubtSeconds: direct.doubt / fineRate,
  };

  /** What one peak of height 1 looks like where these windows are laid over each other. */
  function kernelOf(
    parts: readonly Float32Array[],
    weight: (i: number) => number,
    half: number,
  ): Float32Array {
    const sum = new Float32Array(blockSamples / 2);
    parts.forEach((part, i) => {
      const w = weight(i);
      if (w > 0) for (let k = 0; k < sum.length; k++) sum[k]! += w * part[k]!;
    });
    correlator.kernel(sum, r);
    const top = r[0]! || 1;
    return middleOf(r, half).map((v) => v / top);
  }
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

/**
 * 1 for the windows in which the talker nearest to the reference speaks, a hundredth for softer ones: a lav hears
 * the interviewer 8 to 20 dB softer than the sitter, and pauses softer still. Loud is what these windows reach, or
 * nearly what the whole reference does: a clip may hold nothing but a question. Between 4 and 10 dB under that the
 * line is drawn at the level that the reference has least often.
 */
function loudness(windows: readonly ChosenWindow[], reference: Listened, other: Listened): number[] {
  // Of a camera and a lav it is the lav that tells the talkers apart, whichever the other is compared with.
  const near = other.isNear && !reference.isNear ? other : reference;
  const levels = windows.map((w) => (near === other ? w.otherDb : w.levelDb));
  const all = twoSecondLevelsDb(near.onsets);
  const loudDb = Math.max(percentile(levels, 0.8), percentile(all, 0.8) - 1);
  let line = { db: loudDb - 7, crowd: Number.POSITIVE_INFINITY };
  for (let db = loudDb - 10; db <= loudDb - 4; db += 0.25) {
    let crowd = 0;
    for (const level of all) crowd += Math.exp(-(((level - db) / 1.2) ** 2));
    // Where nothing tells, the middle.
    crowd += 0.004 * all.length * Math.abs(db - (loudDb - 7));
    if (crowd < line.crowd) line = { db, crowd };
  }
  return levels.map((level) => Math.min(1, Math.max(0.01, 0.5 + (level - line.db) / 3)));
}

/** Mean level of two seconds in the voice's range, dBFS, from one half second to the next. */
function twoSecondLevelsDb({ voiceDb }: Onsets): number[] {
  const step = Math.round(framesPerSecond / 2);
  const powers: number[] = [];
  for (let first = 0; first + step <= voiceDb.length; first += step) {
    let power = 0;
    for (let i = first; i < first + step; i++) power += 10 ** (voiceDb[i]! / 10) / (4 * step);
    powers.push(power);
  }
  const levels: number[] = [];
  for (let i = 0; i + 4 <= powers.length; i++)
    levels.push(10 * Math.log10(powers[i]! + powers[i + 1]! + powers[i + 2]! + powers[i + 3]!));
  return levels.length > 0 ? levels : [-120];
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

/** Lags -reach to reach of a circular correlation, lag 0 in the middle. */
function middleOf(r: Float32Array, reach: number): Float32Array {
  const slice = new Float32Array(2 * reach + 1);
  slice.set(r.subarray(r.length - reach), 0);
  slice.set(r.subarray(0, reach + 1), reach);
  return slice;
}

interface Peak {
  readonly index: number;
  readonly height: number;
}

/** Every local top, either sign, of a circular correlation within `range` of lag 0 that is higher than `least`. */
function tops(r: Float32Array, range: number, least: number): { lag: number; height: number }[] {
  const peaks: { lag: number; height: number }[] = [];
  const n = r.length;
  for (let lag = -range; lag <= range; lag++) {
    const v = Math.abs(r[(lag + n) % n]!);
    if (v < least || v < Math.abs(r[(lag - 1 + n) % n]!) || v <= Math.abs(r[(lag + 1 + n) % n]!)) continue;
    peaks.push({ lag, height: v });
  }
  return peaks;
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

function largestSize(x: Float32Array): number {
  let most = 0;
  for (let i = 0; i < x.length; i++) most = Math.max(most, Math.abs(x[i]!));
  return most;
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
