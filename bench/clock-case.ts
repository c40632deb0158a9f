import { clock } from "#clock/clock";
import { listeningRateHz, speedOfSound } from "#clock/constants";
import type { ClockResult } from "#documents/chapter-results";
import { seededChance } from "#science/search/seeded-chance";
import { sampleAt } from "#science/signal/sample-at";
import { type BenchRecording, benchContext, benchRecording } from "./clock-media.ts";
import {
  addConvolved,
  type BenchRoom,
  clickResponse,
  metresBetween,
  type Place,
  swayed,
} from "./clock-room.ts";
import {
  type Chance,
  conversation,
  type Phrases,
  phrasesOf,
  startSpeechAnew,
  talkers,
} from "./clock-speech.ts";

/** One clip of a case: what was done to it and what the chapter made of it. */
export interface ClipOutcome {
  readonly seed: number;
  readonly path: string;
  readonly isRelated: boolean;
  readonly seconds: number;
  /** Seconds of the sitter's voice in it. */
  readonly sitterSeconds: number;
  readonly reverberationSeconds: number;
  readonly scratchDb: number;
  readonly ratePpm: number;
  /** The loudest single reflection over the direct sound. */
  readonly isOutshone: boolean;
  readonly isPlaced: boolean;
  /** Largest at any moment of the clip, seconds; null where not placed or nothing was to be found. */
  readonly error: number | null;
  /** The same at its beginning, above 0 where it is placed too late. */
  readonly startError: number | null;
  readonly ppmError: number | null;
  readonly uncertainty: number | null;
  readonly confidence: number;
  readonly hasPieces: boolean;
}

export interface CaseOutcome {
  readonly seed: number;
  readonly devices: number;
  readonly seconds: number;
  readonly clips: readonly ClipOutcome[];
  /** Of the chapter alone. */
  readonly chapterSeconds: number;
  readonly soundSeconds: number;
  readonly findings: readonly string[];
}

/** Numbers in [0, 1) in an order fixed by the seed. */
export const chanceOf = (seed: number): Chance => seededChance(seed).next;

/**
 * White noise in [-1, 1) that no two seeds share: of a linear congruential generator with 2^32 states all seeds lie on
 * one circle, and among ten thousand pairs some had the very same noise, half a range apart, and were rightly placed by it.
 */
export function ownNoise(length: number, seed: number): Float32Array {
  const chance = chanceOf(seed);
  return Float32Array.from({ length }, () => 2 * chance() - 1);
}

const between = (chance: Chance, least: number, most: number) => least + (most - least) * chance();

/** How long a case is: most are under a minute, a few are an hour. */
function secondsOfCase(seed: number, chance: Chance): number {
  if (seed % 100 === 57) return 3600;
  if (seed % 50 === 23) return between(chance, 1500, 2100);
  if (seed % 20 === 11) return between(chance, 600, 900);
  if (seed % 10 < 3) return between(chance, 90, 300);
  return between(chance, 25, 90);
}

/** What was done to a clip of a case, and where it truly lies on the lav's time. */
type ClipTruth = Omit<
  ClipOutcome,
  "isPlaced" | "error" | "startError" | "ppmError" | "uncertainty" | "confidence" | "hasPieces"
> & { readonly offset: number };

/** A whole sitting by its seed: its recordings, the lav's first, and the truth of the others. */
interface SimulatedCase {
  readonly seconds: number;
  readonly devices: number;
  readonly held: readonly BenchRecording[];
  readonly truths: readonly ClipTruth[];
}

/**
 * A whole sitting by its seed: room, people, devices, clocks; measured by the chapter, judged by its truth.
 *
 * @param voices - Recorded people to draw from instead of the synthesiser's.
 */
export async function runCase(seed: number, voices?: readonly Phrases[]): Promise<CaseOutcome> {
  const { seconds, devices, held, truths } = await simulateCase(seed, voices);
  const recordings = held.map((h) => h.recording);
  const began = performance.now();
  const result: ClockResult = await clock.measure({ recordings, master: null }, benchContext(held));
  const chapterSeconds = (performance.now() - began) / 1e3;
  const clips = truths.map((truth): ClipOutcome => {
    const row = result.recordings.find((r) => r.path === truth.path)!;
    const isPlaced = row.placedBy === "sound";
    const off = (t: number) => row.offset! - truth.offset + t * (row.ratePpm! - truth.ratePpm) * 1e-6;
    const { offset: _offset, ...told } = truth;
    return {
      ...told,
      isPlaced,
      error: isPlaced && truth.isRelated ? Math.max(Math.abs(off(0)), Math.abs(off(truth.seconds))) : null,
      startError: isPlaced && truth.isRelated ? off(0) : null,
      ppmError: isPlaced && truth.isRelated ? Math.abs(row.ratePpm! - truth.ratePpm) : null,
      uncertainty: row.uncertainty,
      confidence: row.confidence,
      hasPieces: (row.pieces?.length ?? 0) > 1,
    };
  });
  return {
    seed,
    devices,
    seconds,
    clips,
    chapterSeconds,
    soundSeconds: recordings.reduce((sum, r) => sum + r.probe.durationSeconds, 0),
    findings: result.findings.map((f) => f.code),
  };
}

/**
 * The sound of a case by its seed.
 *
 * @param voices - Recorded people to draw from instead of the synthesiser's.
 */
async function simulateCase(seed: number, voices?: readonly Phrases[]): Promise<SimulatedCase> {
  startSpeechAnew();
  const chance = chanceOf(seed);
  const seconds = secondsOfCase(seed, chance);
  const room: BenchRoom = {
    size: [between(chance, 3.5, 8), between(chance, 3, 6), between(chance, 2.4, 3.4)],
    reverberationSeconds: between(chance, 0.2, 1.2),
  };
  const scratchDb = between(chance, -5, 20);
  const devices = 2 + Math.floor(4 * chance());
  const here = await people(seconds, chance, voices);
  const otherDay = await people(Math.min(seconds, 400), chance, voices);
  const talk = conversation(seconds, here.sitter, here.asker, chance);
  const otherTalk = conversation(Math.min(seconds, 400), otherDay.sitter, otherDay.asker, chance);
  const inside = (from: number, to: number, axis: 0 | 1 | 2) => between(chance, from, to) * room.size[axis];
  const sitter: Place = [inside(0.4, 0.7, 0), inside(0.45, 0.7, 1), between(chance, 1.1, 1.3)];
  const asker: Place = [inside(0.15, 0.3, 0), inside(0.15, 0.35, 1), between(chance, 1.1, 1.3)];
  const questionGain = between(chance, 0.5, 1);
  const lav: Place = [sitter[0] + 0.05, sitter[1] - 0.18, sitter[2] - 0.14];
  const hear = async (
    at: Place,
    noiseDb: number,
    isOutshone: boolean,
    from: { answers: Float32Array; questions: Float32Array },
    sways: boolean,
  ) => {
    const out = new Float32Array(from.answers.length);
    const direct = isOutshone ? between(chance, 0.3, 0.6) : 1;
    const answers = sways
      ? swayed(from.answers, between(chance, 0, 0.03), between(chance, 4, 25), 6.28 * chance())
      : from.answers;
    await addConvolved(out, answers, clickResponse(room, sitter, at, direct, chance));
    const power = meanSquare(out);
    const questions = from.questions.map((v) => v * questionGain);
    await addConvolved(out, questions, clickResponse(room, asker, at, 1, chance));
    addNoise(out, Math.sqrt(power) * 10 ** (-noiseDb / 20), Math.floor(2 ** 32 * chance()));
    return out;
  };
  const lavSound = await hear(lav, 45, false, talk, false);
  const held: BenchRecording[] = [arrayRecording("A", "A.wav", lavSound, "lav")];
  const truths: ClipTruth[] = [];
  for (let d = 1; d < devices; d++) {
    const isBoom = chance() < 0.25;
    const at: Place = isBoom
      ? [sitter[0], sitter[1] - 0.35, Math.min(room.size[2] - 0.3, sitter[2] + 0.5)]
      : [inside(0.1, 0.9, 0), inside(0.05, 0.35, 1), between(chance, 1, 1.6)];
    const isOutshone = !isBoom && chance() < 0.3;
    const ratePpm = between(chance, -100, 100);
    const clips = chance() < 0.35 && seconds > 60 ? 2 : 1;
    let sound: Float32Array | null = null;
    for (let c = 0; c < clips; c++) {
      const isRelated = chance() >= 0.3;
      const part = seconds / clips;
      const longest = isRelated ? part - 1 : Math.min(part, otherTalk.answers.length / listeningRateHz) - 1;
      const clipSeconds = Math.max(20, between(chance, 0.5, 1) * longest);
      const start = (isRelated ? c * part : 0) + between(chance, 0, Math.max(0, longest - clipSeconds));
      const from = isRelated ? talk : otherTalk;
      if (isRelated) sound ??= await hear(at, scratchDb, isOutshone, talk, true);
      const heard = isRelated ? sound! : await hear(at, scratchDb, isOutshone, otherTalk, true);
      const clip = new Float32Array(Math.round(clipSeconds * listeningRateHz));
      sampleAt(heard, start * listeningRateHz, 1 + ratePpm * 1e-6, clip);
      const path = `${"BCDEF"[d - 1]}${c + 1}.wav`;
      held.push(arrayRecording("BCDEF"[d - 1]!, path, clip, null));
      const way = (metresBetween(sitter, at) - metresBetween(sitter, lav)) / speedOfSound;
      truths.push({
        seed,
        path,
        isRelated,
        seconds: clipSeconds,
        sitterSeconds: spokenSeconds(from.answers, start, start + clipSeconds),
        reverberationSeconds: room.reverberationSeconds,
        scratchDb,
        ratePpm,
        isOutshone,
        offset: start - way,
      });
    }
  }
  return { seconds, devices, held, truths };
}

async function people(
  seconds: number,
  chance: Chance,
  voices?: readonly Phrases[],
): Promise<{ sitter: Phrases; asker: Phrases }> {
  if (voices) {
    const first = Math.floor(voices.length * chance());
    const second = (first + 1 + Math.floor((voices.length - 1) * chance())) % voices.length;
    return { sitter: voices[first]!, asker: voices[second]! };
  }
  const first = Math.floor(talkers * chance());
  const second = (first + 1 + Math.floor((talkers - 1) * chance())) % talkers;
  const length = Math.min(240, seconds);
  return {
    // Chances of their own: how many phrases it takes must not change the rest of the case.
    sitter: await phrasesOf(first, length, chanceOf(Math.floor(1e9 * chance()))),
    asker: await phrasesOf(second, Math.max(20, length / 5), chanceOf(Math.floor(1e9 * chance()))),
  };
}

function arrayRecording(
  device: string,
  path: string,
  sound: Float32Array,
  role: "lav" | null,
): BenchRecording {
  return benchRecording(
    device,
    path,
    sound.length / listeningRateHz,
    (first, end) => sound.slice(first, end),
    role,
  );
}

function meanSquare(x: Float32Array): number {
  let sum = 0;
  for (const v of x) sum += v * v;
  return sum / x.length;
}

/** A room's own noise: more of it at low frequencies. */
function addNoise(out: Float32Array, rms: number, seed: number): void {
  const noise = ownNoise(out.length, seed);
  let low = 0;
  for (let i = 0; i < noise.length; i++) noise[i] = low = 0.7 * low + noise[i]!;
  const gain = rms / Math.sqrt(meanSquare(noise));
  for (let i = 0; i < out.length; i++) out[i]! += gain * noise[i]!;
}

function spokenSeconds(voice: Float32Array, from: number, end: number): number {
  const step = listeningRateHz / 10;
  let spoken = 0;
  for (let at = Math.round(from * listeningRateHz); at + step <= end * listeningRateHz; at += step) {
    let peak = 0;
    for (let i = at; i < at + step; i += 4) peak = Math.max(peak, Math.abs(voice[i] ?? 0));
    if (peak > 0.01) spoken++;
  }
  return spoken / 10;
}
