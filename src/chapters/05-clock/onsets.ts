import type { FftMaker, RealFft } from "#science/signal/fft";
import { hann } from "#science/signal/hann";
import { sharedCopy, sharedFloats } from "#science/signal/shared-arrays";
import { quantileOf } from "#science/speech/power-meter";
import { listeningRateHz, onsetHopSamples } from "./constants.ts";

const windowSamples = 2 * onsetHopSamples;
/** Edges of the bands, Hz: about a third of the way from pitch to hiss in equal steps of hearing. */
const bandEdgesHz = [150, 350, 600, 1000, 1600, 2500, 3800, 5500, 7500];
/** Frequency at which each band begins, in steps of the transform; the last is where the highest ends. */
const firstBins = bandEdgesHz.map((hz) => Math.round((hz / listeningRateHz) * windowSamples));
const firstVoiceBand = bandEdgesHz.indexOf(350);
const endVoiceBand = bandEdgesHz.indexOf(5500);
export const onsetBands: number = bandEdgesHz.length - 1;
export const framesPerSecond: number = listeningRateHz / onsetHopSamples;

/** What is kept of a whole recording for the search: who was loud when, in bands; on memory that threads share. */
export interface Onsets {
  readonly frames: number;
  /** One array a band: rises of level, evened out to mean 0 and deviation about 1. */
  readonly bands: readonly Float32Array[];
  /** Level of each frame, dBFS (root mean square, whole band). */
  readonly levelDb: Float32Array;
  /** A tenth of the frames lie below this, dBFS. */
  readonly quietDb: number;
  /** Level as above of what lies between 350 and 5500 Hz alone: rumble and a room's lowest tones tell nothing of who speaks. */
  readonly voiceDb: Float32Array;
  /** Mean power at each frequency k / 512 of the rate, k from 0 to 255, of a Hann-windowed frame of 512 samples. */
  readonly meanPower: Float32Array;
}

/**
 * Band-wise spectral flux of a stream of sound: frame i looks at samples [i, i + 2) x 256.
 *
 * Rises of the logarithmic level are what a distant microphone and a near one have in common; each band is
 * whitened by its own running mean and deviation, so that neither loud speech nor a steady noise rules the sum.
 */
export class OnsetListener {
  readonly #fft: RealFft;
  readonly #window = hann(windowSamples);
  readonly #rest = new Float32Array(windowSamples);
  #held = 0;
  #levels: Float32Array[] = Array.from({ length: onsetBands + 2 }, () => new Float32Array(4096));
  #frames = 0;
  readonly #powers = new Float64Array(windowSamples / 2);

  constructor(makeFft: FftMaker) {
    this.#fft = makeFft(windowSamples);
  }

  append(block: Float32Array): void {
    let at = 0;
    while (at < block.length) {
      // Straight from the block where a whole frame lies in it and nothing is left from the one before.
      if (this.#held === 0) {
        for (; at + windowSamples <= block.length; at += onsetHopSamples) this.#frame(block, at);
        this.#rest.set(block.subarray(at));
        this.#held = block.length - at;
        return;
      }
      const n = Math.min(windowSamples - this.#held, block.length - at);
      this.#rest.set(block.subarray(at, at + n), this.#held);
      this.#held += n;
      at += n;
      if (this.#held < windowSamples) return;
      this.#frame(this.#rest, 0);
      // The next frame begins half a window back: in the block itself, as soon as it reaches that far.
      if (at >= onsetHopSamples) {
        at -= onsetHopSamples;
        this.#held = 0;
      } else {
        this.#rest.copyWithin(0, onsetHopSamples);
        this.#held = windowSamples - onsetHopSamples;
      }
    }
  }

  #frame(sound: Float32Array, from: number): void {
    if (this.#frames === this.#levels[0]!.length)
      this.#levels = this.#levels.map((old) => {
        const longer = new Float32Array(old.length * 2);
        longer.set(old);
        return longer;
      });
    const window = this.#window;
    const powers = this.#powers;
    const frame = this.#frames;
    let power = 0;
    const x = this.#fft.spectrumOf((samples) => {
      let sum = 0;
      for (let i = 0; i < windowSamples; i++) {
        const v = sound[from + i]!;
        sum += v * v;
        samples[i] = v * window[i]!;
      }
      power = sum;
    });
    let voice = 0;
    for (let k = 1; k < firstBins[0]!; k++)
      powers[k]! += x[2 * k]! * x[2 * k]! + x[2 * k + 1]! * x[2 * k + 1]!;
    for (let band = 0; band < onsetBands; band++) {
      let sum = 0;
      for (let k = firstBins[band]!; k < firstBins[band + 1]!; k++) {
        const re = x[2 * k]!;
        const im = x[2 * k + 1]!;
        const square = re * re + im * im;
        sum += square;
        powers[k]! += square;
      }
      this.#levels[band]![frame] = sum;
      if (band >= firstVoiceBand && band < endVoiceBand) voice += sum;
    }
    for (let k = firstBins[onsetBands]!; k < windowSamples / 2; k++)
      powers[k]! += x[2 * k]! * x[2 * k]! + x[2 * k + 1]! * x[2 * k + 1]!;
    this.#levels[onsetBands]![frame] = 10 * Math.log10(power / windowSamples + 1e-12);
    // Parseval: twice the sum over half the spectrum, by the mean square of the window, 3/8.
    this.#levels[onsetBands + 1]![frame] = 10 * Math.log10(((16 / 3) * voice) / windowSamples ** 2 + 1e-12);
    this.#frames++;
  }

  finish(): Onsets {
    const frames = this.#frames;
    const bands = this.#levels.slice(0, onsetBands).map((power) => whitenedRises(power.subarray(0, frames)));
    const meanPower = Float32Array.from(this.#powers, (power) => power / Math.max(1, frames));
    const levelDb = sharedCopy(this.#levels[onsetBands]!.subarray(0, frames));
    return {
      frames,
      bands,
      levelDb,
      quietDb: quantileOf(levelDb, 0.1),
      voiceDb: sharedCopy(this.#levels[onsetBands + 1]!.subarray(0, frames)),
      meanPower,
    };
  }
}

function whitenedRises(power: Float32Array): Float32Array {
  const frames = power.length;
  let mean = 0;
  for (const p of power) mean += p / Math.max(1, frames);
  // 40 dB under the mean: what is softer is not heard as a rise, so that digital silence has no onsets.
  const floor = mean * 1e-4 + 1e-12;
  const level = power.map((p) => Math.log(p + floor));
  const rises = new Float32Array(frames);
  for (let i = 2; i < frames; i++) rises[i] = Math.max(0, level[i]! - 0.5 * (level[i - 1]! + level[i - 2]!));
  return evened(rises, Math.round(2 * framesPerSecond));
}

/** Running mean and deviation over 2 x reach + 1 frames brought to 0 and 1; rare giants held at 4. */
function evened(x: Float32Array, reach: number): Float32Array {
  const n = x.length;
  const out = sharedFloats(n);
  let whole = 0;
  for (const v of x) whole += (v * v) / Math.max(1, n);
  const least = 0.05 * whole + 1e-12;
  let sum = 0;
  let squares = 0;
  for (let i = -reach; i < n; i++) {
    const enter = x[i + reach];
    const leave = x[i - reach - 1];
    if (enter !== undefined) [sum, squares] = [sum + enter, squares + enter * enter];
    if (leave !== undefined) [sum, squares] = [sum - leave, squares - leave * leave];
    if (i < 0) continue;
    const count = Math.min(n, i + reach + 1) - Math.max(0, i - reach);
    const mean = sum / count;
    const variance = Math.max(0, squares / count - mean * mean);
    out[i] = Math.min(4, (x[i]! - mean) / Math.sqrt(variance + least));
  }
  return out;
}
