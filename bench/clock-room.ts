import { listeningRateHz, speedOfSound } from "#clock/constants";
import { fftSizeFor, loadFft } from "#science/signal/fft";
import type { Chance } from "./clock-speech.ts";

/** Metres. */
export type Place = readonly [x: number, y: number, z: number];

export interface BenchRoom {
  readonly size: Place;
  /** Time to fall by 60 dB, seconds. */
  readonly reverberationSeconds: number;
}

export function metresBetween(a: Place, b: Place): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
}

/** After this the room's reflections are too dense to tell, seconds: they are drawn by chance. */
const mixingSeconds = 0.06;
const taps = 16;

/**
 * What a microphone hears of a click: mirror images of a box for the first 60 ms (Allen & Berkley 1979, J. Acoust.
 * Soc. Am. 65(4), 943-950; reflection by Eyring's formula), then noise that decays at the room's rate and starts
 * at the level that the images ended with.
 *
 * @param directGain - Gain of the direct sound alone; under 1 where the microphone faces away or something stands
 *   between, so that the floor's or ceiling's reflection 1 to 4 ms later outshines it.
 */
export function clickResponse(
  room: BenchRoom,
  source: Place,
  microphone: Place,
  directGain: number,
  chance: Chance,
): Float32Array {
  const [lx, ly, lz] = room.size;
  const surface = 2 * (lx * ly + ly * lz + lz * lx);
  const absorption =
    1 - Math.exp((-24 * Math.LN10 * lx * ly * lz) / (speedOfSound * surface * room.reverberationSeconds));
  const reflection = Math.sqrt(1 - absorption);
  const seconds = Math.max(0.1, 0.8 * room.reverberationSeconds);
  const response = new Float32Array(Math.ceil(seconds * listeningRateHz));
  const reach = speedOfSound * mixingSeconds;
  const along = (size: number, s: number, m: number) => {
    const found: { d: number; bounces: number }[] = [];
    for (let n = -8; n <= 8; n++)
      found.push(
        { d: 2 * n * size + s - m, bounces: Math.abs(2 * n) },
        { d: 2 * n * size - s - m, bounces: Math.abs(2 * n - 1) },
      );
    return found.filter(({ d }) => Math.abs(d) < reach);
  };
  for (const x of along(lx, source[0], microphone[0]))
    for (const y of along(ly, source[1], microphone[1]))
      for (const z of along(lz, source[2], microphone[2])) {
        const metres = Math.hypot(x.d, y.d, z.d);
        if (metres > reach) continue;
        const bounces = x.bounces + y.bounces + z.bounces;
        const gain = (bounces === 0 ? directGain : reflection ** bounces) / metres;
        const at = (metres / speedOfSound) * listeningRateHz;
        const first = Math.ceil(at) - taps;
        for (let i = Math.max(0, first); i < first + 2 * taps && i < response.length; i++) {
          const t = i - at;
          const sinc = Math.abs(t) < 1e-9 ? 1 : Math.sin(Math.PI * t) / (Math.PI * t);
          response[i]! += gain * sinc * (0.5 + 0.5 * Math.cos((Math.PI * t) / taps));
        }
      }
  const mixed = Math.round(mixingSeconds * listeningRateHz);
  // Of what changes: images are all of one sign and their mean is no sound.
  const early = Math.round(0.02 * listeningRateHz);
  let mean = 0;
  let power = 0;
  for (let i = mixed - early; i < mixed; i++) mean += response[i]! / early;
  for (let i = mixed - early; i < mixed; i++) power += (response[i]! - mean) ** 2 / early;
  const decay = Math.exp((-3 * Math.LN10) / (room.reverberationSeconds * listeningRateHz));
  // The level in the middle of those 20 ms, brought to their end.
  let level = Math.sqrt(3 * power) * decay ** (early / 2);
  for (let i = mixed; i < response.length; i++) {
    response[i] = level * (2 * chance() - 1);
    level *= decay;
  }
  return response;
}

/** `out` += signal convolved with response, as long as `out`. */
export async function addConvolved(
  out: Float32Array,
  signal: Float32Array,
  response: Float32Array,
): Promise<void> {
  const size = Math.max(65_536, fftSizeFor(4 * response.length));
  const fft = (await loadFft())(size);
  const step = size - response.length;
  const kernel = new Float32Array(size);
  kernel.set(response);
  fft.forward(kernel, kernel);
  const block = new Float32Array(size);
  for (let at = 0; at < signal.length; at += step) {
    block.fill(0);
    block.set(signal.subarray(at, Math.min(at + step, signal.length)));
    fft.forward(block, block);
    block[0]! *= kernel[0]!;
    block[1]! *= kernel[1]!;
    for (let k = 2; k < size; k += 2) {
      const re = block[k]! * kernel[k]! - block[k + 1]! * kernel[k + 1]!;
      block[k + 1] = block[k]! * kernel[k + 1]! + block[k + 1]! * kernel[k]!;
      block[k] = re;
    }
    fft.inverse(block, block);
    const n = Math.min(size, out.length - at);
    for (let i = 0; i < n; i++) out[at + i]! += block[i]!;
  }
}

/**
 * A voice as it reaches a microphone from a head that sways: later and earlier by up to `metres` / c, slowly.
 */
export function swayed(
  voice: Float32Array,
  metres: number,
  periodSeconds: number,
  phase: number,
): Float32Array {
  const out = new Float32Array(voice.length);
  const reach = (metres / speedOfSound) * listeningRateHz;
  const turn = (2 * Math.PI) / (periodSeconds * listeningRateHz);
  for (let n = 2; n + 2 < voice.length; n++) {
    const at = n - reach * Math.sin(turn * n + phase);
    const k = Math.floor(at);
    if (k < 1 || k + 2 >= voice.length) continue;
    // Catmull-Rom: the same small loss of treble everywhere matters to nobody's phase.
    const t = at - k;
    const [a, b, c, d] = [voice[k - 1]!, voice[k]!, voice[k + 1]!, voice[k + 2]!];
    out[n] = b + 0.5 * t * (c - a + t * (2 * a - 5 * b + 4 * c - d + t * (3 * (b - c) + d - a)));
  }
  return out;
}
