import type { FftMaker } from "#science/signal/fft";
import { hann } from "#science/signal/hann";
import { makePhaseCorrelator } from "#science/signal/phase-correlator";
import { type ScannedLine, scanSlopes } from "#science/signal/slope-scan";
import type { CoarsePlacement } from "./coarse.ts";
import { listeningRateHz, mostPpm, plainScore } from "./constants.ts";
import { mostDetourSeconds } from "./direct-sound.ts";
import type { ClockLine } from "./line.ts";
import type { Listened } from "./listened.ts";
import { blockSamples, corrected, largestSize, leastPeak, mostPeakTrust } from "./looks.ts";
import { loudness } from "./loudness.ts";
import { type Sighting, voteForLine } from "./vote.ts";
import { chooseWindows, correlateWindow } from "./windows.ts";

/** Wider peaks, for a search that steps by whole samples. */
const band = [150 / listeningRateHz, 4000 / listeningRateHz] as const;
const windowSeconds = 1.024;
const mostWindows = 150;
/** The rises of level may come this much later than the direct sound where a room drowns it. */
const coarseSeconds = 0.06;
/** Sums that reach this share of the highest may be the direct sound's as well. */
const equalShare = 0.85;
/** Sums nearer than this are one. */
const apartSeconds = 0.001;

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
 *
 * @param least - A lower score is of no interest: null where no line can reach it.
 */
export async function firstLook(
  makeFft: FftMaker,
  reference: Listened,
  other: Listened,
  placement: CoarsePlacement,
  pause: () => Promise<void>,
  least = 0,
): Promise<FirstLook | null> {
  const start = roughLine(placement);
  const windows = chooseWindows(
    reference.onsets,
    other.onsets,
    start.line,
    other.seconds,
    windowSeconds,
    mostWindows,
  );
  if (windows.length === 0) return null;
  const correlator = makePhaseCorrelator(makeFft, blockSamples, {
    upsample: 1,
    band,
    window: hann(blockSamples),
    usualPower: [reference.onsets.meanPower, other.onsets.meanPower],
  });
  const loud = loudness(windows, reference, other);
  const spread = (windows.at(-1)!.at - windows[0]!.at) / 2;
  const range = rangeOf(start.ratePpmSpread, spread);
  const reach = Math.min(blockSamples / 2 - 1, Math.round(range * listeningRateHz));
  const sightings: Sighting[] = [];
  const slices: Float32Array[] = [];
  const noises: number[] = [];
  for (const [i, window] of windows.entries()) {
    await pause();
    await correlateWindow(correlator, reference.sound, other.sound, start.line, window.at, windowSeconds);
    const { values, noise } = correlator.correlationAround(reach);
    slices.push(values);
    noises.push(noise);
    if (noise === 0) continue;
    for (const peak of tops(values, leastPeak * noise))
      sightings.push({
        at: window.at,
        lag: peak.lag / listeningRateHz,
        weight: Math.min(mostPeakTrust, (peak.height / noise - leastPeak) ** 2) * loud[i]!,
      });
  }
  if (least > 0 && mostAlongAnyLine(slices, noises, loud) < least) return null;
  const mostSlope = start.ratePpmSpread * 1e-6;
  const moments = windows.map((w) => w.at);
  const scan = (most: { slope: number; lag: number }, about?: { slope: number; lag: number }) =>
    scanSlopes(slices, noises, moments, loud, most, about);
  // Everywhere, and not near the vote alone: most windows may vote for a reflection that adds up less.
  let sum = scan({ slope: mostSlope * listeningRateHz, lag: reach });
  const order = reference.isNear ? 1 : other.isNear ? -1 : 0;
  if (sum && sum.score >= plainScore && order !== 0) sum = soonerOfEquals(sum, order);
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
  const vote = voteForLine(sightings, mostSlope, 0.0005, range);
  return vote && vote.on > 0
    ? { isPlain: false, score: sum?.score ?? 0, line: corrected(start.line, vote) }
    : null;

  /**
   * A reflection that is upside down may outdo the direct sound by a little; it cannot come before it. One that is not
   * is the second look's to tell from the direct sound.
   */
  function soonerOfEquals(highest: ScannedLine, sooner: 1 | -1): ScannedLine {
    const half = 0.5 * (mostDetourSeconds - apartSeconds) * listeningRateHz;
    const slope = Math.min(mostSlope, 0.001 / Math.max(1, spread)) * listeningRateHz;
    const lag = highest.lag - sooner * (half + apartSeconds * listeningRateHz);
    const before = scan({ slope, lag: half }, { slope: highest.slope, lag });
    return before && before.score >= equalShare * highest.score && along(before) * along(highest) < 0
      ? before
      : highest;
  }

  /** The weighted sum along a line, with its sign. */
  function along(line: ScannedLine): number {
    let all = 0;
    slices.forEach((slice, i) => {
      const place = reach + line.lag + Math.round(line.slope * (moments[i]! - line.middle));
      all += loud[i]! * (slice[place] ?? 0);
    });
    return all;
  }
}

/** How far from the rough line the direct sound is looked for, seconds; `spread` is half of what the windows reach over. */
const rangeOf = (ratePpmSpread: number, spread: number): number =>
  Math.min(0.2, coarseSeconds + ratePpmSpread * 1e-6 * spread);

/** The rough line of a placement, and how far from it, at the windows' middle, a first look may find its own, seconds. */
export function aboutLine(placement: CoarsePlacement, other: Listened): { line: ClockLine; within: number } {
  const { line, ratePpmSpread } = roughLine(placement);
  return { line, within: rangeOf(ratePpmSpread, other.seconds / 2) };
}

/** What the sum would score if every window's highest value lay on one line. */
function mostAlongAnyLine(
  slices: readonly Float32Array[],
  noises: readonly number[],
  weights: readonly number[],
): number {
  let all = 0;
  let squares = 0;
  slices.forEach((slice, i) => {
    all += weights[i]! * largestSize(slice);
    squares += (weights[i]! * noises[i]!) ** 2;
  });
  return squares > 0 ? all / Math.sqrt(squares) : 0;
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

/** Every local top, either sign, that is higher than `least`; lag 0 in the middle of the slice. */
function tops(slice: Float32Array, least: number): { lag: number; height: number }[] {
  const peaks: { lag: number; height: number }[] = [];
  const reach = (slice.length - 1) / 2;
  for (let i = 1; i + 1 < slice.length; i++) {
    const height = Math.abs(slice[i]!);
    if (height < least || height < Math.abs(slice[i - 1]!) || height <= Math.abs(slice[i + 1]!)) continue;
    peaks.push({ lag: i - reach, height });
  }
  return peaks;
}
