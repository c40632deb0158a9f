import { closeSync, fstatSync, openSync, readSync, writeSync } from "node:fs";
import { unpack } from "#clock/compact-sound";
import { listeningRateHz } from "#clock/constants";
import { lcgNoise } from "#science/signal/lcg-noise";
import { sampleAt } from "#science/signal/sample-at";
import { chanceOf } from "./clock-case.ts";
import type { Samples } from "./clock-media.ts";
import { phrasesOf, say, startSpeechAnew } from "./clock-speech.ts";

/*
 * Sound of any length on disk: one channel of 16-bit samples at the listening rate, written and read by blocks, so
 * that neither making nor reading it holds more than seconds.
 */

const blockSamples = 20 * listeningRateHz;

/** Where a device lies on the sitting, and how its clock goes. */
export interface DeviceClock {
  /** Sitting time of its first sample, seconds. */
  readonly start: number;
  readonly ppm: number;
}

/** Writes what a microphone near the sitter hears: one synthetic voice, pauses between the phrases. */
export async function writeVoice(path: string, seconds: number): Promise<void> {
  startSpeechAnew();
  const phrases = await phrasesOf(9, 240, chanceOf(1));
  const file = openSync(path, "w");
  const length = Math.round(seconds * listeningRateHz);
  for (let first = 0, k = 0; first < length; first += blockSamples, k++) {
    const sound = new Float32Array(Math.min(blockSamples, length - first));
    say(sound, phrases, 0, sound.length - listeningRateHz, chanceOf(1000 + k));
    write(file, sound);
  }
  closeSync(file);
}

/** Writes what another device heard of that: some reflections, some noise, by a clock of its own. */
export function writeHeard(
  voicePath: string,
  path: string,
  seconds: number,
  clock: DeviceClock,
  seed: number,
): void {
  const voice = rawSamples(voicePath);
  const file = openSync(path, "w");
  const echoes = lcgNoise(8, seed).map((v) => Math.round((0.02 + 0.018 * v) * listeningRateHz));
  const spare = 700;
  const length = Math.round(seconds * listeningRateHz);
  for (let first = 0; first < length; first += blockSamples) {
    const out = new Float32Array(Math.min(blockSamples, length - first));
    const from = clock.start * listeningRateHz + first * (1 + clock.ppm * 1e-6);
    const whole = Math.floor(from) - spare;
    const dry = voice(whole, whole + out.length + 2 * spare + 200);
    const wet = dry.map((v) => 0.4 * v);
    for (const [k, delay] of echoes.entries()) {
      const gain = k % 2 ? -0.1 : 0.1;
      for (let i = delay; i < dry.length; i++) wet[i]! += gain * dry[i - delay]!;
    }
    sampleAt(wet, from - whole, 1 + clock.ppm * 1e-6, out);
    const noise = lcgNoise(out.length, seed + first);
    for (let i = 0; i < out.length; i++) out[i]! += 0.004 * noise[i]!;
    write(file, out);
  }
  closeSync(file);
}

/** Reads such a file; silence outside it. */
export function rawSamples(path: string): Samples {
  const file = openSync(path, "r");
  const length = fstatSync(file).size / 2;
  let spare = new Int16Array(0);
  return (first, end) => {
    const out = new Float32Array(end - first);
    const from = Math.max(0, first);
    const count = Math.max(0, Math.min(length, end) - from);
    if (spare.length < count) spare = new Int16Array(count);
    const raw = spare.subarray(0, count);
    if (count > 0) readSync(file, raw, 0, raw.byteLength, 2 * from);
    const heard = out.subarray(from - first);
    for (let at = 0; at < count; at += listeningRateHz)
      unpack(raw.subarray(at, at + listeningRateHz), 1 / 32_767, heard.subarray(at, at + listeningRateHz));
    return out;
  };
}

function write(file: number, sound: Float32Array): void {
  writeSync(
    file,
    Int16Array.from(sound, (v) => Math.round(32_767 * Math.max(-1, Math.min(1, v)))),
  );
}
