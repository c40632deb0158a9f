import { listeningRateHz, onsetHopSamples } from "./constants.ts";
import type { Listened } from "./fine.ts";
import { type ClockLine, localTime, referenceTime } from "./line.ts";
import { framesPerSecond, type Onsets } from "./onsets.ts";
import { percentile } from "./windows.ts";

/** A recording that has its place. */
export interface Placed {
  readonly hash: string;
  readonly listened: Listened;
  readonly line: ClockLine;
}

export interface Clap {
  /** Sitting time. */
  readonly at: number;
  readonly heardBy: readonly { readonly hash: string; readonly localTime: number }[];
}

const mostClaps = 12;
/** A clap rises in every band at once; the mean rise over the bands, in deviations, that counts as one. */
const leastRise = 2.2;
/** And it rises this far above the moment before, dB. */
const leastJumpDb = 15;
/** It is as loud as speech, or at most this far under its loud frames, dB. */
const underSpeechDb = 12;
/** And it is over soon: it falls this far in 0.05 s from its top, and by 15 in 0.13 s; a syllable does not, dB. */
const leastFirstFallDb = 8;
const firstFallFrames = 3;
const leastFallDb = 15;
const fallFrames = 8;
/** Frames by which two recordings may differ: their sounds travel differently, and frames are 16 ms. */
const tolerance = 2;

/**
 * Transients that every placed recording running at the time heard, and at least two did: claps, slates, doors.
 * The time in each file is where the sound first comes up, to about a millisecond.
 */
export async function sharedClaps(placed: readonly Placed[]): Promise<Clap[]> {
  const [master, ...others] = placed;
  if (!master || others.length === 0) return [];
  const { levelDb } = master.listened.onsets;
  const loudDb = percentile(levelDb, 0.95) - underSpeechDb;
  const isClap = (frame: number) => {
    const topFrame = levelDb[frame]! >= (levelDb[frame + 1] ?? -120) ? frame : frame + 1;
    const top = levelDb[topFrame]!;
    const fall = (frames: number) => top - (levelDb[topFrame + frames] ?? -120);
    return top >= loudDb && fall(firstFallFrames) >= leastFirstFallDb && fall(fallFrames) >= leastFallDb;
  };
  const candidates = transientFrames(master.listened.onsets)
    .filter(isClap)
    .map((frame) => ({ frame, db: levelDb[frame]! }))
    .sort((a, b) => b.db - a.db)
    .slice(0, 200);
  const claps: Clap[] = [];
  for (const { frame } of candidates) {
    if (claps.length === mostClaps) break;
    const at = (frame + 1) / framesPerSecond;
    if (claps.some((clap) => Math.abs(clap.at - at) < 0.5)) continue;
    const running = others.filter((o) => {
      const t = localTime(o.line, at);
      return t > 0.1 && t < o.listened.seconds - 0.1;
    });
    if (running.length === 0 || !running.every((o) => hasTransient(o.listened.onsets, localTime(o.line, at))))
      continue;
    const heardBy = [];
    for (const recording of [master, ...running]) {
      const local = await firstRise(recording.listened, localTime(recording.line, at));
      heardBy.push({ hash: recording.hash, localTime: local });
    }
    // Somebody else's clap near the place is not this one.
    const times = heardBy.map(({ hash, localTime: t }) =>
      referenceTime(placed.find((p) => p.hash === hash)!.line, t),
    );
    if (Math.max(...times) - Math.min(...times) > 0.02) continue;
    claps.push({ at: times[0]!, heardBy });
  }
  return claps.sort((a, b) => a.at - b.at);
}

function transientFrames(onsets: Onsets): number[] {
  const frames: number[] = [];
  for (let i = 3; i + 1 < onsets.frames; i++) if (isTransient(onsets, i)) frames.push(i);
  return frames;
}

function isTransient(onsets: Onsets, frame: number): boolean {
  const { bands, levelDb } = onsets;
  let sum = 0;
  for (const band of bands) sum += band[frame]!;
  if (sum < leastRise * bands.length) return false;
  return Math.max(levelDb[frame]!, levelDb[frame + 1] ?? -120) - levelDb[frame - 3]! >= leastJumpDb;
}

function hasTransient(onsets: Onsets, localSeconds: number): boolean {
  const middle = Math.round(localSeconds * framesPerSecond) - 1;
  for (let i = Math.max(3, middle - tolerance); i <= middle + tolerance; i++)
    if (i < onsets.frames && isTransient(onsets, i)) return true;
  return false;
}

/** Local time at which the level first reaches a third of the top of the 80 ms around, by half milliseconds. */
async function firstRise(listened: Listened, localSeconds: number): Promise<number> {
  const part = listeningRateHz / 2000;
  const first = Math.round(localSeconds * listeningRateHz) - 2 * onsetHopSamples - 128;
  const sound = new Float32Array(5 * onsetHopSamples);
  await listened.sound.read(first, sound);
  const levels: number[] = [];
  for (let i = 0; i + part <= sound.length; i += part) {
    let peak = 0;
    for (let k = 0; k < part; k++) peak = Math.max(peak, Math.abs(sound[i + k]!));
    levels.push(peak);
  }
  const top = Math.max(...levels);
  const index = Math.max(
    0,
    levels.findIndex((v) => v >= top / 3),
  );
  return (first + index * part) / listeningRateHz;
}
