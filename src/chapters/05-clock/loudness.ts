import { quantileOf } from "#science/speech/power-meter";
import type { Listened } from "./listened.ts";
import { framesPerSecond, type Onsets } from "./onsets.ts";
import type { ChosenWindow } from "./windows.ts";

/**
 * 1 for the windows in which the talker nearest to the reference speaks, a hundredth for softer ones: a lav hears
 * the interviewer 8 to 20 dB softer than the sitter, and pauses softer still. Loud is what these windows reach, or
 * nearly what the whole reference does: a clip may hold nothing but a question. Between 4 and 10 dB under that the
 * line is drawn at the level that the reference has least often.
 */
export function loudness(windows: readonly ChosenWindow[], reference: Listened, other: Listened): number[] {
  // Of a camera and a lav it is the lav that tells the talkers apart, whichever the other is compared with.
  const near = other.isNear && !reference.isNear ? other : reference;
  const levels = windows.map((w) => (near === other ? w.otherDb : w.levelDb));
  const { all, high } = levelsOf(near.onsets);
  const loudDb = Math.max(quantileOf(levels, 0.8), high - 1);
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

interface Levels {
  readonly all: readonly number[];
  /** The level that a fifth of them lies above. */
  readonly high: number;
}

/** A recording is looked at many times. */
const known = new WeakMap<Onsets, Levels>();

function levelsOf(onsets: Onsets): Levels {
  let levels = known.get(onsets);
  if (!levels) {
    const all = twoSecondLevelsDb(onsets);
    levels = { all, high: quantileOf(all, 0.8) };
    known.set(onsets, levels);
  }
  return levels;
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
