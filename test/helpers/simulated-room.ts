import { fftSizeFor, loadFft } from "#science/signal/fft";
import { hann } from "#science/signal/hann";
import { lcgNoise } from "#science/signal/lcg-noise";
import { sampleAt } from "#science/signal/sample-at";

/*
 * A small room for tests: speech-like sources, a shoebox's reflections by the image method, devices whose clocks
 * differ. Everything is deterministic and at one rate.
 */

export const roomRateHz = 16_000;
/** REFERENCES: 331.3 sqrt(1 + t/273.15) at 20 degrees. */
export const speedOfSound = 343.21;

export type Point = readonly [x: number, y: number, z: number];

export interface Shoebox {
  readonly size: Point;
  /** Time to fall by 60 dB, seconds. */
  readonly reverberationSeconds: number;
}

/**
 * Impulse response from a point to a microphone by the image method, every wall alike, reflections to the
 * reverberation time (at most `longestSeconds`).
 *
 * Source: Allen & Berkley (1979), J. Acoust. Soc. Am. 65(4), 943-950; reflection factor by Eyring's formula.
 */
export function impulseResponse(
  room: Shoebox,
  source: Point,
  microphone: Point,
  longestSeconds = 0.5,
): Float32Array {
  const [lx, ly, lz] = room.size;
  const surface = 2 * (lx * ly + ly * lz + lz * lx);
  const absorption =
    1 - Math.exp((-24 * Math.LN10 * lx * ly * lz) / (speedOfSound * surface * room.reverberationSeconds));
  const reflection = Math.sqrt(1 - absorption);
  const seconds = Math.min(longestSeconds, room.reverberationSeconds);
  const reach = speedOfSound * seconds;
  const taps = 24;
  const response = new Float32Array(Math.ceil(seconds * roomRateHz) + 2 * taps);
  const images = (size: number, s: number, m: number) => {
    const found: { d: number; bounces: number }[] = [];
    const most = Math.ceil(reach / (2 * size)) + 1;
    for (let n = -most; n <= most; n++) {
      found.push({ d: 2 * n * size + s - m, bounces: Math.abs(2 * n) });
      found.push({ d: 2 * n * size - s - m, bounces: Math.abs(2 * n - 1) });
    }
    return found;
  };
  const zs = images(lz, source[2], microphone[2]);
  const ys = images(ly, source[1], microphone[1]);
  for (const x of images(lx, source[0], microphone[0]))
    for (const y of ys) {
      const xy = x.d * x.d + y.d * y.d;
      if (xy > reach * reach) continue;
      for (const z of zs) {
        const distance = Math.sqrt(xy + z.d * z.d);
        if (distance > reach) continue;
        const gain = reflection ** (x.bounces + y.bounces + z.bounces) / distance;
        const delay = (distance / speedOfSound) * roomRateHz;
        const first = Math.ceil(delay) - taps;
        for (let i = Math.max(0, first); i < first + 2 * taps; i++) {
          const t = i - delay;
          const sinc = Math.abs(t) < 1e-9 ? 1 : Math.sin(Math.PI * t) / (Math.PI * t);
          response[i]! += gain * sinc * (0.5 + 0.5 * Math.cos((Math.PI * t) / taps));
        }
      }
    }
  return response;
}

/** Convolution by FFT, blocks of a fixed size; as long as the signal. */
export async function convolved(signal: Float32Array, response: Float32Array): Promise<Float32Array> {
  const size = Math.max(32_768, fftSizeFor(4 * response.length));
  const fft = (await loadFft())(size);
  const step = size - response.length;
  const kernel = new Float32Array(size);
  kernel.set(response);
  fft.forward(kernel, kernel);
  const out = new Float32Array(signal.length);
  const block = new Float32Array(size);
  for (let at = 0; at < signal.length; at += step) {
    block.fill(0);
    block.set(signal.subarray(at, Math.min(at + step, signal.length)));
    fft.forward(block, block);
    const dc = block[0]! * kernel[0]!;
    const top = block[1]! * kernel[1]!;
    for (let k = 2; k < size; k += 2) {
      const re = block[k]! * kernel[k]! - block[k + 1]! * kernel[k + 1]!;
      block[k + 1] = block[k]! * kernel[k + 1]! + block[k + 1]! * kernel[k]!;
      block[k] = re;
    }
    block[0] = dc;
    block[1] = top;
    fft.inverse(block, block);
    const n = Math.min(size, signal.length - at);
    for (let i = 0; i < n; i++) out[at + i]! += block[i]!;
  }
  return out;
}

/**
 * What a device writes down of a sound in the room: its sample n is taken at room time
 * startSeconds + n / rate * (1 + ratePpm / 10^6). Silence outside.
 */
export function recorded(
  sound: Float32Array,
  startSeconds: number,
  ratePpm: number,
  seconds: number,
): Float32Array {
  const out = new Float32Array(Math.round(seconds * roomRateHz));
  sampleAt(sound, startSeconds * roomRateHz, 1 + ratePpm * 1e-6, out);
  return out;
}

/**
 * A voice-like noise: syllables of three to six a second, each with its own spectrum (a vowel's two bands or a
 * hiss), pauses between phrases. Another seed is another speech.
 */
export function speechLikeNoise(seconds: number, seed: number): Float32Array {
  const n = Math.round(seconds * roomRateHz);
  const out = new Float32Array(n);
  const chance = uniform(seed * 7919 + 1);
  const white = lcgNoise(n, seed * 104_729 + 3);
  let at = 0;
  while (at < n) {
    const syllables = 4 + Math.floor(chance() * 12);
    for (let s = 0; s < syllables && at < n; s++) {
      const length = Math.round((0.09 + 0.16 * chance()) * roomRateHz);
      const isHiss = chance() < 0.3;
      const bands = isHiss
        ? [{ hz: 3000 + 3500 * chance(), q: 1.2, gain: 0.5 }]
        : [
            { hz: 250 + 600 * chance(), q: 4, gain: 1.5 },
            { hz: 900 + 1600 * chance(), q: 6, gain: 1 },
            { hz: 2400 + 1000 * chance(), q: 6, gain: 0.5 },
          ];
      const pitch = 90 + 60 * chance();
      const loud = 0.3 + 0.7 * chance();
      const envelope = hann(length);
      for (const { hz, q, gain } of bands) {
        const w = (2 * Math.PI * hz) / roomRateHz;
        const r = 1 - w / (2 * q);
        const a1 = 2 * Math.max(0, r) * Math.cos(w);
        const a2 = Math.max(0, r) ** 2;
        let y1 = 0;
        let y2 = 0;
        for (let i = 0; i < length && at + i < n; i++) {
          const voiced = isHiss ? 1 : 0.2 + 2 * ((i * pitch) % roomRateHz < pitch ? 1 : 0) * 4;
          const y = white[at + i]! * voiced * (1 - Math.max(0, r)) + a1 * y1 - a2 * y2;
          y2 = y1;
          y1 = y;
          out[at + i]! += y * gain * loud * envelope[i]!;
        }
      }
      at += Math.round(length * (0.8 + 0.4 * chance()));
    }
    at += Math.round((0.25 + 0.9 * chance()) * roomRateHz);
  }
  return scaledTo(out, 0.1);
}

/** The signal with the given root mean square over the whole. */
export function scaledTo(signal: Float32Array, rms: number): Float32Array {
  let sum = 0;
  for (const v of signal) sum += v * v;
  const gain = sum > 0 ? rms / Math.sqrt(sum / signal.length) : 0;
  return signal.map((v) => v * gain);
}

/** Sum of signals, as long as the first. */
export function mixed(...signals: readonly Float32Array[]): Float32Array {
  const out = Float32Array.from(signals[0]!);
  for (const signal of signals.slice(1)) for (let i = 0; i < out.length; i++) out[i]! += signal[i] ?? 0;
  return out;
}

/** Noise of a quiet room: white, one-pole filtered, at the given root mean square. */
export function roomNoise(seconds: number, seed: number, rms: number): Float32Array {
  const noise = lcgNoise(Math.round(seconds * roomRateHz), seed * 65_537 + 11);
  let low = 0;
  for (let i = 0; i < noise.length; i++) noise[i] = low = 0.7 * low + noise[i]!;
  return scaledTo(noise, rms);
}

/** Numbers in [0, 1), the same for one seed. */
export function uniform(seed: number): () => number {
  let s = (seed * 2_654_435_761) >>> 0 || 1;
  return () => {
    s ^= s << 13;
    s ^= s >>> 17;
    s ^= s << 5;
    s >>>= 0;
    return s / 2 ** 32;
  };
}

export function distance(a: Point, b: Point): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
}
