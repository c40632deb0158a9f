import type { PhaseCorrelator } from "#science/signal/phase-correlator";
import type { SoundStretch } from "./compact-sound.ts";
import { listeningRateHz } from "./constants.ts";
import { type ClockLine, localTime, referenceTime } from "./line.ts";
import { framesPerSecond, type Onsets } from "./onsets.ts";

/** One stretch to be compared: its middle in the other recording's time, and how loud the reference is there. */
export interface ChosenWindow {
  readonly at: number;
  /** Mean level of the reference in the voice's range, dBFS. */
  readonly levelDb: number;
  /** The same of the other. */
  readonly otherDb: number;
}

/**
 * Chooses windows along the overlap of two recordings: evenly spread, and in each slot where the reference
 * speaks most. Close enough together they simply overlap by half.
 */
export function chooseWindows(
  reference: Onsets,
  other: Onsets,
  line: ClockLine,
  otherSeconds: number,
  windowSeconds: number,
  most: number,
): ChosenWindow[] {
  const referenceSeconds = reference.frames / framesPerSecond;
  const from = Math.max(0, localTime(line, 0));
  const end = Math.min(otherSeconds, localTime(line, referenceSeconds));
  if (end - from < windowSeconds) return [];
  const { level, speech } = sumsOf(reference);
  const { level: otherLevel } = sumsOf(other);
  const half = windowSeconds / 2;
  const middles = end - from - windowSeconds;
  const slots = Math.max(1, Math.min(most, Math.floor(middles / half) + 1));
  const chosen: ChosenWindow[] = [];
  for (let slot = 0; slot < slots; slot++) {
    const slotFrom = from + half + (middles * slot) / slots;
    const slotLength = slots === most ? Math.max(0, middles / slots - half) : 0;
    let best = { at: slotFrom, score: -1 };
    const tries = Math.min(24, 1 + Math.floor(slotLength / 0.25));
    for (let i = 0; i < tries; i++) {
      const at = slotFrom + (slotLength * i) / Math.max(1, tries - 1);
      const score = meanOver(speech, referenceTime(line, at), windowSeconds);
      if (score > best.score) best = { at, score };
    }
    const levelDb = 10 * Math.log10(meanOver(level, referenceTime(line, best.at), windowSeconds) + 1e-12);
    const otherDb = 10 * Math.log10(meanOver(otherLevel, best.at, windowSeconds) + 1e-12);
    chosen.push({ at: best.at, levelDb, otherDb });
  }
  return chosen;
}

/** Compares one window of two recordings along a line, in blocks that overlap by half; the evidence is left in the correlator. */
export async function correlateWindow(
  correlator: PhaseCorrelator,
  reference: SoundStretch,
  other: SoundStretch,
  line: ClockLine,
  at: number,
  windowSeconds: number,
): Promise<void> {
  const n = correlator.blockSamples;
  const step = n / 2;
  const blocks = Math.max(1, Math.floor((windowSeconds * listeningRateHz - n) / step) + 1);
  const span = n + (blocks - 1) * step;
  // A little more of the reference on each side: the clocks may move a few samples against each other.
  const spare = 64;
  const otherFirst = Math.round(at * listeningRateHz - span / 2);
  const scratch = scratchOf(correlator, span, span + 2 * spare);
  const otherSound = scratch.other;
  const referenceFirst =
    Math.round(referenceTime(line, (otherFirst + span / 2) / listeningRateHz) * listeningRateHz - span / 2) -
    spare;
  const referenceSound = scratch.reference;
  await other.read(otherFirst, otherSound);
  await reference.read(referenceFirst, referenceSound);
  correlator.clear();
  addBlocks(
    correlator,
    { sound: referenceSound, first: referenceFirst },
    { sound: otherSound, first: otherFirst },
    line,
    blocks,
  );
}

interface Held {
  readonly sound: Float32Array;
  /** Number of its first sample. */
  readonly first: number;
}

/** A function of its own, for in one that waits the compiler does less. */
function addBlocks(
  correlator: PhaseCorrelator,
  reference: Held,
  other: Held,
  line: ClockLine,
  blocks: number,
): void {
  const n = correlator.blockSamples;
  for (let block = 0; block < blocks; block++) {
    const first = (block * n) / 2;
    const middle = (other.first + first + n / 2) / listeningRateHz;
    const expected = referenceTime(line, middle) * listeningRateHz - n / 2;
    const whole = Math.round(expected);
    const inside = whole - reference.first;
    const a = reference.sound.subarray(inside, inside + n);
    const b = other.sound.subarray(first, first + n);
    if (a.length < n) continue;
    const weight = Math.sqrt(Math.sqrt(power(a) * power(b)));
    if (weight > 0) correlator.add(a, b, whole - expected, weight);
  }
}

interface Scratch {
  readonly other: Float32Array;
  readonly reference: Float32Array;
}

/** A correlator compares one window after another, all of one length. */
const scratches = new WeakMap<PhaseCorrelator, Scratch>();

function scratchOf(correlator: PhaseCorrelator, other: number, reference: number): Scratch {
  let scratch = scratches.get(correlator);
  if (scratch?.other.length !== other) {
    scratch = { other: new Float32Array(other), reference: new Float32Array(reference) };
    scratches.set(correlator, scratch);
  }
  return scratch;
}

/** Root mean square, from every fourth sample: good enough for a weight. */
function power(x: Float32Array): number {
  let sum = 0;
  for (let i = 0; i < x.length; i += 4) sum += x[i]! * x[i]!;
  return Math.sqrt((4 * sum) / x.length);
}

interface Sums {
  /** Power in the voice's range. */
  readonly level: Float64Array;
  /** Decibels above the quietest tenth. */
  readonly speech: Float64Array;
}

/** A recording is looked at many times: what all its frames add up to is reckoned once. */
const known = new WeakMap<Onsets, Sums>();

function sumsOf(onsets: Onsets): Sums {
  let sums = known.get(onsets);
  if (!sums) {
    const floorDb = onsets.quietDb;
    sums = {
      level: cumulative(onsets.voiceDb, (db) => 10 ** (db / 10)),
      speech: cumulative(onsets.levelDb, (db) => Math.min(30, Math.max(0, db - floorDb - 3))),
    };
    known.set(onsets, sums);
  }
  return sums;
}

function cumulative(x: Float32Array, of: (v: number) => number): Float64Array {
  const sums = new Float64Array(x.length + 1);
  for (let i = 0; i < x.length; i++) sums[i + 1] = sums[i]! + of(x[i]!);
  return sums;
}

function meanOver(sums: Float64Array, middleSeconds: number, seconds: number): number {
  const last = sums.length - 1;
  const from = Math.min(last, Math.max(0, Math.round((middleSeconds - seconds / 2) * framesPerSecond)));
  const end = Math.min(last, Math.max(from, Math.round((middleSeconds + seconds / 2) * framesPerSecond)));
  return end > from ? (sums[end]! - sums[from]!) / (end - from) : 0;
}
