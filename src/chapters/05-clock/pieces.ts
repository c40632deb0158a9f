import type { FftMaker } from "#science/signal/fft";
import { hann } from "#science/signal/hann";
import { makePhaseCorrelator } from "#science/signal/phase-correlator";
import { quantileOf } from "#science/speech/power-meter";
import { listeningRateHz, onsetHopSamples } from "./constants.ts";
import { type ClockLine, referenceTime } from "./line.ts";
import type { Listened } from "./listened.ts";
import { largestSize } from "./looks.ts";
import { comparePair } from "./pair.ts";
import { type FineMatch, type MeasuredWindow, secondLook } from "./second-look.ts";
import { correlateWindow } from "./windows.ts";

/** A stretch of a recording that lies on a line of its own, because samples were lost or repeated. */
export interface Piece {
  /** Local seconds, [from, end). */
  readonly from: number;
  readonly end: number;
  readonly match: FineMatch;
}

interface Stretch {
  /** Local seconds, [from, end). */
  readonly from: number;
  readonly end: number;
}

/** A step smaller than this may be another talker heard over another way; two metres apart differ by up to 12 ms. */
const surelyStepSeconds = 0.02;
/** Smaller ones, down to this, are believed where the sitter is plainly heard on the new line and not on the old. */
const leastStepSeconds = 0.0025;
/** Share of the sitter's windows on either side of a small step that lie on that side's line. */
const leastSitterShare = 0.6;
/** A room's late sound comes within this. */
const mostEchoSeconds = 0.1;
/** Sums along another line that nobody is on reach 4 to 5. */
const leastEchoScore = 6;
/** Shorter remainders are left on the line of the rest. */
const leastPieceSeconds = 10;
const leastLoudWindows = 4;

/**
 * Looks for steps: where the windows at one end of a recording do not lie on its line although the reference is
 * loud, that end is compared by itself, and so on until nothing is left over.
 *
 * @returns the pieces in order; one, with the match as it came, where there is no step.
 */
export async function piecesOf(
  makeFft: FftMaker,
  reference: Listened,
  other: Listened,
  match: FineMatch,
  pause: () => Promise<void>,
): Promise<Piece[]> {
  return grow(0, other.seconds, match, 0);

  async function grow(from: number, end: number, own: FineMatch, depth: number): Promise<Piece[]> {
    const inside = own.windows.filter((w) => w.at >= from && w.at < end);
    const on = (w: MeasuredWindow) =>
      w.weight >= 4 && Math.abs(referenceTime(own.line, w.at) - w.referenceAt) < 0.0005;
    const first = inside.findIndex((w, i) => on(w) && (inside[i + 1] === undefined || on(inside[i + 1]!)));
    const last = inside.findLastIndex((w, i) => on(w) && (inside[i - 1] === undefined || on(inside[i - 1]!)));
    if (first < 0 || last < first || depth > 6) return [{ from, end, match: own }];
    const before: Piece[] = [];
    const after: Piece[] = [];
    let start = from;
    let stop = end;
    const kept: Stretch = { from: inside[first]!.at, end: inside[last]!.at };
    const lead = await apart(from, inside[first]!.at, inside.slice(0, first), own, kept);
    if (lead) {
      start = await boundary(
        inside[Math.max(0, first - 2)]!.at - 1,
        inside[first]!.at + 1,
        lead.line,
        own.line,
      );
      before.push(...(await grow(from, start, lead, depth + 1)));
    }
    const tail = await apart(inside[last]!.at, end, inside.slice(last + 1), own, kept);
    if (tail) {
      const next = inside[Math.min(inside.length - 1, last + 2)]!.at;
      stop = await boundary(inside[last]!.at - 1, next + 1, own.line, tail.line);
      after.push(...(await grow(stop, end, tail, depth + 1)));
    }
    const windows = own.windows.filter((w) => w.at >= start && w.at < stop);
    return [...before, { from: start, end: stop, match: { ...own, windows } }, ...after];
  }

  /** What a remainder matches by itself, if that is another place. */
  async function apart(
    from: number,
    end: number,
    windows: readonly MeasuredWindow[],
    main: FineMatch,
    kept: Stretch,
  ): Promise<FineMatch | null> {
    if (end - from < leastPieceSeconds) return null;
    if (windows.filter((w) => w.loud >= 0.5).length < leastLoudWindows) return null;
    const { match: found } = await comparePair(makeFft, reference, stretchOf(other, from, end), pause);
    if (!found) return null;
    const moved: FineMatch = {
      ...found,
      line: { ...found.line, offset: found.line.offset - whole(from) * (1 + found.line.ratePpm * 1e-6) },
      windows: found.windows.map((w) => ({ ...w, at: w.at + whole(from) })),
    };
    const middle = (from + end) / 2;
    const step = referenceTime(moved.line, middle) - referenceTime(main.line, middle);
    // Where it is open which peak is the direct sound, another choice is no step.
    if (Math.abs(step) < 3 * Math.hypot(main.doubtSeconds, moved.doubtSeconds)) return null;
    if (Math.abs(step) >= surelyStepSeconds)
      return Math.abs(step) < mostEchoSeconds && (await isEcho(moved.line, kept)) ? null : moved;
    return Math.abs(step) >= leastStepSeconds && isSitterThere(moved, main, from, end) ? moved : null;
  }

  /** A room's late sound is on the other line all along; lost samples are not made up for before they were lost. */
  async function isEcho(line: ClockLine, { from, end }: Stretch): Promise<boolean> {
    if (end - from < leastPieceSeconds / 2) return false;
    const along = { ...line, offset: line.offset + whole(from) * (1 + line.ratePpm * 1e-6) };
    const first = { line: along, isPlain: true, score: 0 };
    const match = await secondLook(makeFft, reference, stretchOf(other, from, end), first, pause);
    return match !== null && 2 * match.score >= leastEchoScore;
  }

  /**
   * A talker change alternates and its line is heard while the reference is soft; lost samples move everything that
   * follows: then the loud windows lie on the new line, and hardly any on the old.
   */
  function isSitterThere(moved: FineMatch, main: FineMatch, from: number, end: number): boolean {
    if (moved.isSoft || main.isSoft || moved.isInverted !== main.isInverted) return false;
    const share = ({ line, windows }: FineMatch) => {
      const loud = windows.filter((w) => w.loud >= 0.5 && w.at >= from && w.at < end);
      const on = loud.filter(
        (w) => w.weight >= 4 && Math.abs(referenceTime(line, w.at) - w.referenceAt) < 0.0004,
      );
      return loud.length >= leastLoudWindows ? on.length / loud.length : -1;
    };
    const old = share(main);
    return share(moved) >= leastSitterShare && old >= 0 && old < 0.5 * share(moved);
  }

  /** The moment between two lines: half-second looks by both, and the split that they agree with best. */
  async function boundary(from: number, end: number, early: ClockLine, late: ClockLine): Promise<number> {
    const block = 4096;
    const seconds = block / listeningRateHz;
    const band = [150 / listeningRateHz, 7000 / listeningRateHz] as const;
    const correlator = makePhaseCorrelator(makeFft, block, { upsample: 1, band, window: hann(block) });
    const height = async (line: ClockLine, at: number) => {
      await correlateWindow(correlator, reference.sound, other.sound, line, at, seconds);
      return largestSize(correlator.correlationAround(8).values);
    };
    const moments: number[] = [];
    const gains: number[] = [];
    for (let at = Math.max(0, from); at <= Math.min(other.seconds, end); at += seconds / 2) {
      moments.push(at);
      gains.push((await height(early, at)) - (await height(late, at)));
    }
    let best = { sum: 0, at: from };
    let sum = 0;
    moments.forEach((at, i) => {
      sum += gains[i]!;
      if (sum > best.sum) best = { sum, at: at + seconds / 4 };
    });
    return best.at;
  }
}

/** A moment rounded to the onset frames, so that a stretch of sound and of onsets begin together. */
function whole(seconds: number): number {
  return (Math.ceil((seconds * listeningRateHz) / onsetHopSamples) * onsetHopSamples) / listeningRateHz;
}

function stretchOf(other: Listened, from: number, end: number): Listened {
  const firstSample = Math.round(whole(from) * listeningRateHz);
  const firstFrame = firstSample / onsetHopSamples;
  const frames =
    Math.min(other.onsets.frames, Math.floor((end * listeningRateHz) / onsetHopSamples)) - firstFrame;
  const seconds = end - whole(from);
  const levelDb = other.onsets.levelDb.subarray(firstFrame, firstFrame + frames);
  return {
    ...other,
    seconds,
    sound: {
      samples: Math.round(seconds * listeningRateHz),
      read: (first, out) => other.sound.read(first + firstSample, out),
    },
    onsets: {
      ...other.onsets,
      frames,
      bands: other.onsets.bands.map((band) => band.subarray(firstFrame, firstFrame + frames)),
      levelDb,
      quietDb: quantileOf(levelDb, 0.1),
      voiceDb: other.onsets.voiceDb.subarray(firstFrame, firstFrame + frames),
    },
  };
}
