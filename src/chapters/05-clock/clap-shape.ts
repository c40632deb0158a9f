import type { FftMaker } from "#science/signal/fft";
import { hann } from "#science/signal/hann";
import { quantileOf } from "#science/speech/power-meter";
import { listeningRateHz } from "./constants.ts";
import type { Listened } from "./listened.ts";
import { framesPerSecond, type Onsets } from "./onsets.ts";

/** A clap heard in one recording. */
export interface ClapHeard {
  /** Local time at which the sound first comes up, to about half a millisecond. */
  readonly at: number;
  /** Loudest millisecond, dBFS. */
  readonly peakDb: number;
}

/** Candidates that are listened to, the loudest first. */
const mostCandidates = 80;
/** The mean rise over the bands, in deviations, and the rise of level that make a frame worth listening to, dB. */
const leastRise = 1.6;
const leastJumpDb = 10;
/** A clap's frame is no softer than this against speech's loud frames, dB: it is short. */
const underSpeechDb = 20;
/** And its loudest millisecond is about as loud as they are, dB. */
const leastPeakUnderSpeechDb = 8;
/** Its frame stands out by this from those of a quarter of a second before, and of some time after, dB. */
const leastAloneDb = 6;
/** It comes up from this far below within three milliseconds, dB. */
const leastSharpDb = 14;
/** Nothing as loud comes before it, for a tenth and for a quarter of a second, dB under its loudest millisecond. */
const leastQuietBeforeDb = { near: 16, far: 11 };
/** What follows dies away: a vowel after a consonant does not, dB under its loudest millisecond, from 0.2 s on. */
const leastQuietAfterDb = 18;
/** And never comes up again by more than this, dB. */
const mostReboundDb = 6;
/** Bands of which three must lie within 22 dB of the strongest, Hz. */
const clapBandsHz = [300, 900, 2000, 4000, 7500] as const;
const bandSpreadDb = 22;

const before = 0.28;
const after = 0.42;

/**
 * The claps of one recording: sounds that are broadband, sharp, loud as speech at least, and alone. A consonant is
 * followed or led by a vowel, a door is low, a knock on the table is both soft and low; none of them is a clap.
 */
export async function clapsOf(makeFft: FftMaker, listened: Listened): Promise<ClapHeard[]> {
  const { onsets } = listened;
  const loudDb = quantileOf(onsets.levelDb, 0.95);
  const claps: ClapHeard[] = [];
  for (const frame of candidates(onsets, loudDb - underSpeechDb)) {
    const clap = await clapAt(makeFft, listened, (frame + 1) / framesPerSecond);
    if (
      clap &&
      clap.peakDb >= loudDb - leastPeakUnderSpeechDb &&
      claps.every((c) => Math.abs(c.at - clap.at) > 0.1)
    )
      claps.push(clap);
  }
  return claps.sort((a, b) => a.at - b.at);
}

/** Whether something at all begins sharply here: what a far or deaf microphone keeps of a clap. */
export function hasTransient(onsets: Onsets, localSeconds: number): boolean {
  const middle = Math.round(localSeconds * framesPerSecond) - 1;
  for (let i = Math.max(3, middle - 2); i <= middle + 2; i++)
    if (i < onsets.frames && rises(onsets, i)) return true;
  return false;
}

function candidates(onsets: Onsets, loudDb: number): number[] {
  const { levelDb } = onsets;
  const found: { frame: number; db: number }[] = [];
  for (let frame = 3; frame < onsets.frames; frame++) {
    const db = Math.max(levelDb[frame]!, levelDb[frame + 1] ?? -120);
    if (db < loudDb || !rises(onsets, frame) || !isAlone(levelDb, frame, db)) continue;
    const last = found.at(-1);
    if (last && frame - last.frame < 4) {
      if (db > last.db) found[found.length - 1] = { frame, db };
    } else found.push({ frame, db });
  }
  return found
    .sort((a, b) => b.db - a.db)
    .slice(0, mostCandidates)
    .map(({ frame }) => frame);
}

function isAlone(levelDb: Float32Array, frame: number, db: number): boolean {
  for (let i = Math.max(0, frame - 16); i < frame - 2; i++) if (levelDb[i]! > db - leastAloneDb) return false;
  for (let i = frame + 14; i < Math.min(levelDb.length, frame + 22); i++)
    if (levelDb[i]! > db - leastAloneDb) return false;
  return true;
}

function rises({ bands, levelDb }: Onsets, frame: number): boolean {
  let sum = 0;
  for (const band of bands) sum += band[frame]!;
  if (sum < leastRise * bands.length) return false;
  return Math.max(levelDb[frame]!, levelDb[frame + 1] ?? -120) - levelDb[frame - 3]! >= leastJumpDb;
}

async function clapAt(makeFft: FftMaker, listened: Listened, near: number): Promise<ClapHeard | null> {
  const ms = listeningRateHz / 1000;
  const first = Math.round((near - before) * listeningRateHz);
  const sound = new Float32Array(Math.round((before + after) * listeningRateHz));
  await listened.sound.read(first, sound);
  const db = levelsDb(sound, ms);
  // The loudest millisecond of the 60 around.
  const middle = Math.round(before * 1000);
  let top = middle - 30;
  for (let i = middle - 30; i < middle + 30; i++) if (db[i]! > db[top]!) top = i;
  const peakDb = db[top]!;
  // It first comes up where it is within 10 dB of its top: the direct sound may be softer than a reflection.
  let rise = top;
  while (rise > top - 12 && Math.max(db[rise - 1]!, db[rise - 2]!) > peakDb - 10) rise--;
  const level = (from: number, end: number) => {
    let power = 0;
    for (let i = from; i < end; i++) power += 10 ** (db[i]! / 10);
    return 10 * Math.log10(power / (end - from));
  };
  if (level(rise - 9, rise - 2) > peakDb - leastSharpDb) return null;
  for (let i = Math.max(0, rise - 240); i + 10 <= rise - 2; i += 10)
    if (level(i, i + 10) > peakDb - leastQuietBeforeDb[i < rise - 100 ? "far" : "near"]) return null;
  let lowest = level(rise + 20, rise + 40);
  for (let i = rise + 40; i + 20 <= Math.min(db.length, rise + 370); i += 20) {
    const now = level(i, i + 20);
    if (i >= rise + 200 && now > peakDb - leastQuietAfterDb) return null;
    // Near the room's own noise ups and downs mean nothing.
    if (now > lowest + mostReboundDb && now > peakDb - 30) return null;
    lowest = Math.min(lowest, now);
  }
  if (!isBroadband(makeFft, sound, Math.round(rise * ms))) return null;
  return { at: (first + firstAbove(sound, Math.round(rise * ms), ms)) / listeningRateHz, peakDb };
}

/** Sample at which the sound first reaches a third of the top of the next ten milliseconds. */
function firstAbove(sound: Float32Array, from: number, ms: number): number {
  let top = 0;
  for (let i = from; i < from + 10 * ms; i++) top = Math.max(top, Math.abs(sound[i]!));
  let at = from - 3 * ms;
  while (at < from + 10 * ms && Math.abs(sound[at]!) < top / 3) at++;
  return at;
}

function isBroadband(makeFft: FftMaker, sound: Float32Array, onset: number): boolean {
  const n = 256;
  const x = new Float32Array(n);
  const window = hann(n);
  for (let i = 0; i < n; i++) x[i] = sound[onset - n / 4 + i]! * window[i]!;
  makeFft(n).forward(x, x);
  const bands = clapBandsHz.slice(1).map((endHz, b) => {
    const first = Math.round((clapBandsHz[b]! / listeningRateHz) * n);
    const end = Math.round((endHz / listeningRateHz) * n);
    let power = 0;
    for (let k = first; k < end; k++) power += x[2 * k]! ** 2 + x[2 * k + 1]! ** 2;
    return 10 * Math.log10(power / (end - first) + 1e-15);
  });
  const most = Math.max(...bands);
  return bands.filter((band) => band > most - bandSpreadDb).length >= 3;
}

function levelsDb(sound: Float32Array, part: number): Float64Array {
  const out = new Float64Array(Math.floor(sound.length / part));
  for (let k = 0; k < out.length; k++) {
    let power = 0;
    for (let i = k * part; i < (k + 1) * part; i++) power += sound[i]! ** 2;
    out[k] = 10 * Math.log10(power / part + 1e-12);
  }
  return out;
}
