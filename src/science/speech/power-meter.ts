/** Mean power of consecutive hops of samples, fed in blocks of any length. Memory: four bytes a hop. */
export class PowerMeter {
  readonly #hopSamples: number;
  #powers = new Float32Array(4096);
  #count = 0;
  #sum = 0;
  #inHop = 0;

  constructor(hopSamples: number) {
    this.#hopSamples = hopSamples;
  }

  /** Takes in a block of samples, full scale ±1. */
  push(samples: Float32Array): void {
    for (let i = 0; i < samples.length; i++) {
      const x = samples[i]!;
      this.#sum += x * x;
      if (++this.#inHop < this.#hopSamples) continue;
      if (this.#count === this.#powers.length) {
        const larger = new Float32Array(this.#powers.length * 2);
        larger.set(this.#powers);
        this.#powers = larger;
      }
      this.#powers[this.#count++] = this.#sum / this.#hopSamples;
      this.#sum = 0;
      this.#inHop = 0;
    }
  }

  /** Mean squares, full scale being ±1; the last, unfinished hop is left out. */
  powers(): Float32Array {
    return this.#powers.slice(0, this.#count);
  }
}

/** Decibels of a power, full scale 1; never below -120. */
export function decibels(power: number): number {
  return 10 * Math.log10(Math.max(power, 1e-12));
}

/** The value below which the fraction `quantile` (0..1) of the finite values lies; 0 for none. */
export function quantileOf(values: ArrayLike<number>, quantile: number): number {
  const sorted = Float64Array.from(values)
    .filter((value) => Number.isFinite(value))
    .sort();
  if (sorted.length === 0) return 0;
  return sorted[Math.min(sorted.length - 1, Math.floor(quantile * sorted.length))]!;
}
