import type { RealFft } from "#science/signal/fft";
import { hann } from "#science/signal/hann";

/** Edges of the bands in hertz: rumble, chest, low and high voice, presence, hiss. */
export const bandEdgesHz = [20, 90, 200, 500, 1000, 2000, 4000, 8000, 16_000] as const;
export const bandCount = bandEdgesHz.length - 1;
export const rumble = 0;
export const chest = 1;
/** Bands 200 Hz to 4 kHz: where the level of a voice is judged. */
export const voiceBands = [2, 3, 4, 5] as const;
export const sibilance = 6;
export const air = 7;

export const frameSamples = 2048;
export const hopSamples = 960;
/** Frames a second at 48 kHz. */
export const framesPerSecond = 48_000 / hopSamples;

/** Level of each band in each frame, dB relative to full scale; frame i is centred on (i + ½) / {@link framesPerSecond}. */
export class BandLevels {
  readonly #levels: number[] = [];
  get frames(): number {
    return this.#levels.length / bandCount;
  }
  /** −120 at least. */
  at(frame: number, band: number): number {
    return this.#levels[frame * bandCount + band] ?? -120;
  }
  /** Level of several bands together. */
  together(frame: number, bands: readonly number[]): number {
    let power = 0;
    for (const band of bands) power += 10 ** (this.at(frame, band) / 10);
    return 10 * Math.log10(Math.max(power, 1e-12));
  }
  push(level: number): void {
    this.#levels.push(level);
  }
}

/** Turns a 48 kHz stream into {@link BandLevels}. */
export class BandMeter {
  readonly levels = new BandLevels();
  readonly #fft: RealFft;
  readonly #window = hann(frameSamples);
  readonly #frame = new Float32Array(frameSamples);
  readonly #work = new Float32Array(frameSamples);
  readonly #bins: readonly number[];
  /** Half a frame of silence before sound begins: frame i is then centred on its own hop. */
  #filled = (frameSamples - hopSamples) / 2;

  constructor(fft: RealFft, sampleRateHz = 48_000) {
    if (fft.size !== frameSamples) throw new TypeError(`an FFT of ${frameSamples} is needed`);
    this.#fft = fft;
    this.#bins = bandEdgesHz.map((hz) => Math.max(1, Math.round((hz / sampleRateHz) * frameSamples)));
  }

  push(samples: Float32Array): void {
    for (let from = 0; from < samples.length; ) {
      const take = Math.min(frameSamples - this.#filled, samples.length - from);
      this.#frame.set(samples.subarray(from, from + take), this.#filled);
      this.#filled += take;
      from += take;
      if (this.#filled === frameSamples) {
        this.#measure();
        this.#frame.copyWithin(0, hopSamples);
        this.#filled = frameSamples - hopSamples;
      }
    }
  }

  finish(): void {
    this.push(new Float32Array((frameSamples - hopSamples) / 2));
  }

  #measure(): void {
    for (let i = 0; i < frameSamples; i++) this.#work[i] = this.#frame[i]! * this.#window[i]!;
    this.#fft.forward(this.#work, this.#work);
    // A full-scale sine reads −3 dB: its power. Hann: Σw² = 3/8 N.
    const scale = 2 / (0.375 * frameSamples * frameSamples);
    for (let band = 0; band < bandCount; band++) {
      let power = 0;
      for (let k = this.#bins[band]!; k < this.#bins[band + 1]!; k++) {
        power += this.#work[2 * k]! ** 2 + this.#work[2 * k + 1]! ** 2;
      }
      this.levels.push(10 * Math.log10(Math.max(power * scale, 1e-12)));
    }
  }
}

/** The value below which `share` (0..1) of the values lie; NaN for none. */
export function quantile(values: Iterable<number>, share: number): number {
  const sorted = Float64Array.from(values).sort();
  return sorted.length === 0
    ? Number.NaN
    : sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))]!;
}
