import type { FftMaker, RealFft } from "#science/signal/fft";
import { hann } from "#science/signal/hann";

const size = 16_384;
const rate = 48_000;
const highestHz = 1300;

/** Mains hum found in the quiet parts of a track. */
export interface Hum {
  readonly mainsHz: 50 | 60;
  /** Level of all its partials together, dB relative to full scale. */
  readonly levelDb: number;
  /** Decibels by which its partials stand over the noise beside them, on average. */
  readonly overNoiseDb: number;
}

/** Listens for mains hum: narrow partials at whole multiples of 50 or 60 Hz where nobody speaks. */
export class HumListener {
  readonly #fft: RealFft;
  readonly #window = hann(size);
  readonly #frame = new Float32Array(size);
  readonly #work = new Float32Array(size);
  readonly #bins = Math.ceil((highestHz / rate) * size);
  #filled = 0;
  /** Summed power spectra, by level of the frame in steps of 3 dB: quiet ones are told apart afterwards. */
  readonly #byLevel = new Map<number, { frames: number; power: Float64Array }>();

  constructor(makeFft: FftMaker) {
    this.#fft = makeFft(size);
  }

  push(samples: Float32Array): void {
    for (let from = 0; from < samples.length; ) {
      const take = Math.min(size - this.#filled, samples.length - from);
      this.#frame.set(samples.subarray(from, from + take), this.#filled);
      this.#filled += take;
      from += take;
      if (this.#filled === size) {
        this.#measure();
        this.#filled = 0;
      }
    }
  }

  #measure(): void {
    let sum = 0;
    for (let i = 0; i < size; i++) {
      const x = this.#frame[i]!;
      sum += x * x;
      this.#work[i] = x * this.#window[i]!;
    }
    if (sum < 1e-12 * size) return;
    const step = Math.round((10 * Math.log10(sum / size)) / 3);
    const bin = this.#byLevel.get(step) ?? { frames: 0, power: new Float64Array(this.#bins) };
    this.#byLevel.set(step, bin);
    this.#fft.forward(this.#work, this.#work);
    const scale = 2 / (0.375 * size * size);
    for (let k = 1; k < this.#bins; k++) {
      bin.power[k]! += (this.#work[2 * k]! ** 2 + this.#work[2 * k + 1]! ** 2) * scale;
    }
    bin.frames++;
  }

  /** The stronger of 50 and 60 Hz, where at least three partials stand 10 dB over their surroundings; else `null`. */
  read(): Hum | null {
    const power = this.#quiet();
    if (!power) return null;
    const found = ([50, 60] as const)
      .map((mainsHz) => partials(power, mainsHz))
      .sort((a, b) => b.overNoiseDb - a.overNoiseDb);
    const best = found[0]!;
    return best.clear >= 3
      ? { mainsHz: best.mainsHz, levelDb: best.levelDb, overNoiseDb: best.overNoiseDb }
      : null;
  }

  /** Mean spectrum of the quietest frames: a tenth of all, at least four. */
  #quiet(): Float64Array | null {
    const steps = [...this.#byLevel.entries()].sort((a, b) => a[0] - b[0]);
    const all = steps.reduce((sum, [, bin]) => sum + bin.frames, 0);
    const wanted = Math.max(4, 0.1 * all);
    const mean = new Float64Array(this.#bins);
    let frames = 0;
    for (const [, bin] of steps) {
      for (let k = 0; k < mean.length; k++) mean[k]! += bin.power[k]!;
      frames += bin.frames;
      if (frames >= wanted) break;
    }
    return frames < 4 ? null : mean.map((value) => value / frames);
  }
}

function partials(
  power: Float64Array,
  mainsHz: 50 | 60,
): { mainsHz: 50 | 60; clear: number; levelDb: number; overNoiseDb: number } {
  let clear = 0;
  let total = 0;
  let over = 0;
  let counted = 0;
  for (let n = 1; n * mainsHz < highestHz - 60 && n <= 12; n++) {
    // 300 Hz is a partial of both: it tells nothing.
    if ((n * mainsHz) % 300 === 0) continue;
    const middle = (n * mainsHz * size) / rate;
    let peak = 0;
    let all = 0;
    for (let k = Math.floor(middle) - 1; k <= Math.ceil(middle) + 1; k++) {
      peak = Math.max(peak, power[k] ?? 0);
      all += power[k] ?? 0;
    }
    const beside: number[] = [];
    for (let k = Math.round(middle) - 8; k <= Math.round(middle) + 8; k++) {
      if (Math.abs(k - middle) > 3 && k > 0 && k < power.length) beside.push(power[k]!);
    }
    beside.sort((a, b) => a - b);
    const db = 10 * Math.log10(peak / Math.max(beside[beside.length >> 1] ?? 0, 1e-18));
    if (db > 10) {
      clear++;
      total += all;
    }
    over += Math.min(db, 40);
    counted++;
  }
  return { mainsHz, clear, levelDb: 10 * Math.log10(Math.max(total, 1e-12)), overNoiseDb: over / counted };
}
