import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { listeningRateHz } from "#clock/constants";
import { sampleAt } from "#science/signal/sample-at";
import type { Phrases } from "./clock-speech.ts";

/*
 * Recorded speech as Debian 12 carries it: pocketsphinx-testdata 0.8+5prealpha+1-15 (a book read aloud, LibriVox, public
 * domain) and codec2-examples 1.0.5-1 (LGPL-2.1). `RECORDED=/` where both are installed, else the folder in which
 * they were unpacked (dpkg -x).
 */
const readers: readonly (readonly string[])[] = [
  ["usr/share/pocketsphinx/test/data/librivox"],
  ["usr/share/codec2/wav/ve9qrp.wav"],
  ["usr/share/codec2/wav/david4.wav"],
  ["usr/share/codec2/wav/vk2tpm_004.wav"],
];

/** Each reader's phrases, cut at the pauses; null where the packages are not there. */
export function recordedVoices(root: string): readonly Phrases[] | null {
  try {
    return readers.map((paths) =>
      paths
        .map((path) => join(root, path))
        .flatMap((path) =>
          path.endsWith(".wav")
            ? [path]
            : readdirSync(path)
                .filter((name) => name.endsWith(".wav"))
                .sort()
                .map((name) => join(path, name)),
        )
        .flatMap((path) => phrasesIn(monoWav(path))),
    );
  } catch {
    return null;
  }
}

/** Samples of a 16-bit mono file at the listening rate. Chunks as in RIFF: four letters, a length, content. */
function monoWav(path: string): Float32Array {
  const bytes = readFileSync(path);
  let rateHz = listeningRateHz;
  for (let at = 12; at + 8 <= bytes.length; ) {
    const name = bytes.toString("latin1", at, at + 4);
    const length = bytes.readUInt32LE(at + 4);
    if (name === "fmt ") rateHz = bytes.readUInt32LE(at + 12);
    if (name === "data") {
      const samples = Math.floor(Math.min(length, bytes.length - at - 8) / 2);
      const sound = Float32Array.from(
        { length: samples },
        (_, i) => bytes.readInt16LE(at + 8 + 2 * i) / 32_768,
      );
      const out = new Float32Array(Math.floor((samples * listeningRateHz) / rateHz));
      sampleAt(sound, 0, rateHz / listeningRateHz, out);
      return out;
    }
    at += 8 + length + (length % 2);
  }
  throw new TypeError(`no sound in ${path}`);
}

/** Cut where it is soft for a quarter of a second; each phrase with its peak at 0.4. */
function phrasesIn(sound: Float32Array): Float32Array[] {
  const part = listeningRateHz / 50;
  const levels: number[] = [];
  for (let at = 0; at + part <= sound.length; at += part) {
    let most = 0;
    for (let i = at; i < at + part; i++) most = Math.max(most, Math.abs(sound[i]!));
    levels.push(most);
  }
  const least = 0.06 * Math.max(...levels);
  const phrases: Float32Array[] = [];
  let from = -1;
  let soft = 0;
  for (let k = 0; k <= levels.length; k++) {
    const isSoft = k === levels.length || levels[k]! < least;
    if (!isSoft && from < 0) from = k;
    soft = isSoft ? soft + 1 : 0;
    if (from < 0 || (soft < 12 && k < levels.length)) continue;
    const end = k - soft + 1;
    for (const [first, last] of breaths(levels, from, end))
      if (last - first >= 25) phrases.push(levelled(sound.slice(first * part, last * part)));
    from = -1;
  }
  return phrases;
}

/** Cuts what goes on for more than six seconds at its softest tenth of a second between the third and the sixth. */
function breaths(levels: readonly number[], from: number, end: number): [number, number][] {
  const [least, most] = [150, 300];
  if (end - from <= most) return [[from, end]];
  let at = from + least;
  let softest = Number.POSITIVE_INFINITY;
  for (let k = from + least; k < from + most; k++) {
    const loud = levels.slice(k, k + 5).reduce((a, b) => a + b, 0);
    if (loud < softest) [softest, at] = [loud, k + 2];
  }
  return [[from, at], ...breaths(levels, at, end)];
}

function levelled(x: Float32Array): Float32Array {
  let peak = 0;
  for (const v of x) peak = Math.max(peak, Math.abs(v));
  return x.map((v) => (0.4 / (peak || 1)) * v);
}
