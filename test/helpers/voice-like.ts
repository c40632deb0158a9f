import { FilterChain, highPass, lowPass } from "#science/filters/biquad";
import { readEvenly } from "#science/filters/resample";
import { lcgNoise } from "#science/signal/lcg-noise";

export const voiceRateHz = 48_000;

/**
 * A sound made like a voice: syllables of a harmonic buzz whose pitch glides, hisses between them, pauses.
 * Invented; for tests only. Peak about 0.4.
 */
export function voiceLike(seconds: number, seed = 1): Float32Array {
  const length = Math.round(seconds * voiceRateHz);
  const out = new Float32Array(length);
  const hiss = new FilterChain([highPass(4000, voiceRateHz), lowPass(9000, voiceRateHz)]).run(
    lcgNoise(length, seed + 7),
  );
  const chance = lcgNoise(4 * Math.ceil(seconds) * 4 + 64, seed);
  let at = Math.round(0.3 * voiceRateHz);
  for (let k = 0; at < length; k++) {
    const pick = (i: number): number => (chance[(4 * k + i) % chance.length]! + 1) / 2;
    const syllable = Math.round((0.12 + 0.14 * pick(0)) * voiceRateHz);
    const pitch = 105 + 40 * pick(1);
    const bright = 0.5 + pick(2);
    const buzz = oneWave(1.1 / bright);
    for (let i = 0; i < syllable && at + i < length; i++) {
      const rise = Math.sin((Math.PI * i) / syllable) ** 0.7;
      const turns = (pitch * (1 + (0.1 * i) / syllable) * i) / voiceRateHz;
      out[at + i]! += 0.12 * rise * buzz[Math.floor((turns % 1) * buzz.length)]!;
    }
    const hissing = Math.round(0.07 * voiceRateHz);
    for (let i = 0; i < hissing && at + syllable + i < length; i++) {
      out[at + syllable + i]! += 0.25 * Math.sin((Math.PI * i) / hissing) * hiss[at + syllable + i]!;
    }
    // A breath after every sixth syllable or so.
    at += syllable + Math.round((k % 6 === 5 ? 0.55 + 0.3 * pick(3) : 0.06) * voiceRateHz);
  }
  const peak = out.reduce((most, x) => Math.max(most, Math.abs(x)), 1e-9);
  return out.map((x) => (0.4 * x) / peak);
}

/** One turn of a buzz whose partials fall off as h to the power of −`slope`. */
function oneWave(slope: number): Float32Array {
  const wave = new Float32Array(2048);
  for (let h = 1; h <= 28; h++) {
    const amplitude = h ** -slope;
    for (let i = 0; i < wave.length; i++) {
      wave[i]! += amplitude * Math.sin((2 * Math.PI * h * i) / wave.length + h * h);
    }
  }
  return wave;
}

/** The same, later by any fraction of a second; as long as before. */
export function later(samples: Float32Array, seconds: number): Float32Array {
  const out = new Float32Array(samples.length);
  out.set(readEvenly(samples, -seconds * voiceRateHz, 1).subarray(0, out.length));
  return out;
}

/** A boom's view of a voice: later, softer, a few reflections, some room noise. */
export function boomOf(dry: Float32Array, lagSeconds: number, polarity: 1 | -1, seed = 11): Float32Array {
  const direct = later(dry, lagSeconds);
  const noise = lcgNoise(dry.length, seed);
  const out = direct.map((x, i) => polarity * 0.3 * x + 0.0004 * noise[i]!);
  for (const [ms, gain] of [
    [7.3, 0.09],
    [13.9, -0.07],
    [21.7, 0.06],
    [34.1, 0.04],
  ] as const) {
    const lag = Math.round((ms / 1000) * voiceRateHz);
    for (let i = lag; i < out.length; i++) out[i]! += polarity * gain * direct[i - lag]!;
  }
  return out;
}

/** The lav's view: near, full, its own little hiss. */
export function lavOf(dry: Float32Array, seed = 12): Float32Array {
  const noise = lcgNoise(dry.length, seed);
  return dry.map((x, i) => x + 0.0002 * noise[i]!);
}

/** Cloth: short thumps and friction, added to a track from `start` to `end` seconds. */
export function addCloth(track: Float32Array, start: number, end: number, seed = 5): void {
  const from = Math.round(start * voiceRateHz);
  const count = Math.round((end - start) * voiceRateHz);
  const low = new FilterChain([lowPass(120, voiceRateHz)]).run(lcgNoise(count, seed));
  const high = new FilterChain([highPass(2500, voiceRateHz)]).run(lcgNoise(count, seed + 1));
  for (let i = 0; i < count; i++) {
    const stroke = Math.abs(Math.sin((2 * Math.PI * 3.1 * i) / voiceRateHz)) ** 0.5;
    track[from + i]! += stroke * (2.5 * low[i]! + 0.12 * high[i]!);
  }
}
