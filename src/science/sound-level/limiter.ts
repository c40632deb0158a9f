import { PeakInterpolator, truePeakDelaySamples } from "./true-peak.ts";

/** Least of the last `width` values. */
class SlidingLeast {
  readonly #width: number;
  readonly #places: Float64Array;
  readonly #values: Float64Array;
  #at = 0;
  /** Candidates stand from `#head` up to `#tail` in rising order of value: a later, smaller value makes earlier ones useless. */
  #head = 0;
  #tail = 0;

  constructor(width: number) {
    this.#width = width;
    this.#places = new Float64Array(width + 1);
    this.#values = new Float64Array(width + 1);
  }

  next(value: number): number {
    const size = this.#width + 1;
    const values = this.#values;
    while (this.#tail > this.#head && values[(this.#tail - 1) % size]! >= value) this.#tail--;
    values[this.#tail % size] = value;
    this.#places[this.#tail % size] = this.#at;
    this.#tail++;
    if (this.#places[this.#head % size]! <= this.#at - this.#width) this.#head++;
    this.#at++;
    return values[this.#head % size]!;
  }
}

/** Mean of the last `width` values; before the first, ones. */
class SlidingMean {
  readonly #ring: Float64Array;
  #at = 0;
  #sum: number;

  constructor(width: number) {
    this.#ring = new Float64Array(width).fill(1);
    this.#sum = width;
  }

  next(value: number): number {
    this.#sum += value - this.#ring[this.#at]!;
    this.#ring[this.#at] = value;
    if (++this.#at === this.#ring.length) {
      this.#at = 0;
      // Summed afresh once a round, so that rounding never creeps.
      this.#sum = this.#ring.reduce((sum, v) => sum + v, 0);
    }
    return this.#sum / this.#ring.length;
  }
}

/**
 * Look-ahead limiter: holds the true peak of a 48 kHz mono stream under a ceiling and leaves the rest alone.
 *
 * The gain is 1 wherever no peak is near; it falls along a smooth 5 ms curve that is down before the peak
 * arrives and comes back over `releaseSeconds`. Output n belongs to input n: as many samples come out of
 * `push` and `finish` together as went in.
 */
export class TruePeakLimiter {
  readonly #ceiling: number;
  readonly #delay: number;
  readonly #rise: number;
  readonly #peaks: PeakInterpolator;
  readonly #least: SlidingLeast;
  readonly #means: [SlidingMean, SlidingMean];
  #held = 1;
  #waiting = new Float32Array(0);
  #toSkip: number;
  /** Least gain so far, decibels: how hard it had to work. */
  deepestDb = 0;

  /**
   * @param ceilingDbtp - dBTP. Hold 0.2 dB more than is asked for: meters may differ by that much.
   * @param sampleRateHz - 48 000, for which the interpolator is made.
   */
  constructor(ceilingDbtp: number, sampleRateHz = 48_000, releaseSeconds = 0.08) {
    const half = Math.round(0.00125 * sampleRateHz);
    const reach = 2 * half;
    // The interpolator sees 6 samples either side, so the gain must already stand still there.
    const guard = 8;
    this.#ceiling = 10 ** (ceilingDbtp / 20);
    this.#peaks = new PeakInterpolator(this.#ceiling);
    this.#least = new SlidingLeast(2 * reach + 1 + 2 * guard);
    this.#means = [new SlidingMean(reach + 1), new SlidingMean(reach + 1)];
    this.#delay = 2 * reach + guard + truePeakDelaySamples;
    this.#rise = 1 - Math.exp(-1 / (releaseSeconds * sampleRateHz));
    this.#toSkip = this.#delay;
  }

  /** Limits a block, full scale ±1; what comes out is later by the look-ahead. */
  push(samples: Float32Array): Float32Array {
    const joined = new Float32Array(this.#waiting.length + samples.length);
    joined.set(this.#waiting);
    joined.set(samples, this.#waiting.length);
    const peaks = this.#peaks.push(samples);
    const out = new Float32Array(Math.max(0, samples.length - this.#toSkip));
    let made = 0;
    let deepest = 1;
    for (let n = 0; n < samples.length; n++) {
      const wanted = Math.min(1, this.#ceiling / Math.max(peaks[n]!, Math.abs(samples[n]!), 1e-9));
      const least = this.#least.next(wanted);
      this.#held = least < this.#held ? least : this.#held + (least - this.#held) * this.#rise;
      const gain = this.#means[1].next(this.#means[0].next(this.#held));
      if (this.#toSkip > 0) {
        this.#toSkip--;
        continue;
      }
      if (gain < deepest) deepest = gain;
      out[made] = joined[made]! * gain;
      made++;
    }
    this.#waiting = joined.slice(made);
    this.deepestDb = Math.min(this.deepestDb, 20 * Math.log10(deepest));
    return out;
  }

  /** What the look-ahead still holds. */
  finish(): Float32Array {
    return this.push(new Float32Array(this.#delay));
  }
}
