/*
 * Band-limited reading of a sound at any place and any speed: the Kaiser-windowed sinc, tabulated at 1 024
 * phases with straight lines between them (J. O. Smith, "Digital Audio Resampling", as common practice).
 */

const phases = 1024;
const halfWidth = 32;
/** Kaiser's β for about 90 dB; Kaiser & Schafer (1980), β = 0.1102 (A − 8.7). */
const beta = 0.1102 * (90 - 8.7);

function besselI0(x: number): number {
  let sum = 1;
  let term = 1;
  for (let k = 1; term > 1e-12 * sum; k++) {
    term *= (x / (2 * k)) ** 2;
    sum += term;
  }
  return sum;
}

const tables = new Map<number, Float64Array>();

/** One row of `2 × halfWidth` weights for each phase; row `phases` repeats row 0 one sample on. */
function weightsFor(cutoff: number): Float64Array {
  const known = tables.get(cutoff);
  if (known) return known;
  const taps = 2 * halfWidth;
  const table = new Float64Array((phases + 1) * taps);
  const i0 = besselI0(beta);
  for (let p = 0; p <= phases; p++) {
    let sum = 0;
    for (let k = 0; k < taps; k++) {
      const x = k - (halfWidth - 1) - p / phases;
      const edge = x / halfWidth;
      const window = Math.abs(edge) >= 1 ? 0 : besselI0(beta * Math.sqrt(1 - edge * edge)) / i0;
      const sinc = x === 0 ? 1 : Math.sin(Math.PI * cutoff * x) / (Math.PI * cutoff * x);
      sum += table[p * taps + k] = window * sinc;
    }
    // Unit gain at rest for every phase: no ripple on a constant.
    for (let k = 0; k < taps; k++) table[p * taps + k]! /= sum;
  }
  tables.set(cutoff, table);
  return table;
}

/**
 * Reads a stream of samples at evenly spaced, possibly fractional places.
 *
 * Output sample m is the input's band-limited value at place `start + m × step` (in input samples). Samples
 * before the first and after the last count as silence. Whole-sample steps at whole places copy the input.
 */
export class Resampler {
  readonly #step: number;
  readonly #start: number;
  readonly #weights: Float64Array;
  readonly #plain: boolean;
  #kept = new Float32Array(0);
  #row: Float64Array | null = null;
  /** Input index of `#kept[0]`. */
  #keptFrom = 0;
  #made = 0;

  /**
   * @param start - Place of the first output sample, in input samples; may be negative or fractional.
   * @param step - Input samples per output sample, above 0; 1.00001 reads 10 ppm faster.
   */
  constructor(start: number, step: number) {
    if (!(step > 0) || !Number.isFinite(start)) throw new TypeError(`step ${step}, start ${start}`);
    this.#start = start;
    this.#step = step;
    this.#plain = step === 1 && Number.isInteger(start);
    // At (nearly) the same rate nothing can alias; only real decimation needs a lower cutoff.
    this.#weights = weightsFor(step > 1.001 ? Math.round(950 / step) / 1000 : 1);
    this.#keptFrom = 0;
  }

  /** Takes the next input samples and answers every output sample that they complete. */
  push(samples: Float32Array): Float32Array {
    const joined = new Float32Array(this.#kept.length + samples.length);
    joined.set(this.#kept);
    joined.set(samples, this.#kept.length);
    this.#kept = joined;
    return this.#make(this.#keptFrom + joined.length - halfWidth - 1);
  }

  /** What is left when the input has ended: outputs up to its last sample. */
  finish(): Float32Array {
    return this.#make(this.#keptFrom + this.#kept.length - 1);
  }

  /** All outputs whose place is at or before `last` (an input index that can be computed). */
  #make(last: number): Float32Array {
    const from = this.#start + this.#made * this.#step;
    const count = Math.max(0, Math.floor((last - from) / this.#step + 1e-9) + 1);
    const out = new Float32Array(count);
    for (let m = 0; m < count; m++) out[m] = this.#at(this.#start + (this.#made + m) * this.#step);
    this.#made += count;
    const next = Math.floor(this.#start + this.#made * this.#step) - halfWidth;
    const drop = Math.min(this.#kept.length, Math.max(0, next - this.#keptFrom));
    this.#kept = this.#kept.slice(drop);
    this.#keptFrom += drop;
    return out;
  }

  #at(place: number): number {
    let whole = Math.floor(place);
    let part = place - whole;
    if (this.#plain || part < 1e-9) part = 0;
    if (part > 1 - 1e-9) {
      whole++;
      part = 0;
    }
    const kept = this.#kept;
    const base = whole - this.#keptFrom;
    if (part === 0 && this.#step <= 1.001) return kept[base] ?? 0;
    const taps = 2 * halfWidth;
    const row = Math.floor(part * phases);
    const between = part * phases - row;
    const a = row * taps;
    const first = base - (halfWidth - 1);
    const lo = Math.max(0, -first);
    const hi = Math.min(taps, kept.length - first);
    if (this.#step === 1) {
      // The same place between samples every time: one row of weights does for all.
      this.#row ??= Float64Array.from({ length: taps }, (_, k) => {
        const weight = this.#weights[a + k]!;
        return weight + between * (this.#weights[a + taps + k]! - weight);
      });
      let sum = 0;
      for (let k = lo; k < hi; k++) sum += kept[first + k]! * this.#row[k]!;
      return sum;
    }
    let low = 0;
    let high = 0;
    for (let k = lo; k < hi; k++) {
      const x = kept[first + k]!;
      low += x * this.#weights[a + k]!;
      high += x * this.#weights[a + taps + k]!;
    }
    return low + between * (high - low);
  }
}

/** A whole array at evenly spaced places; for streams use {@link Resampler}, whose parameters these are. */
export function readEvenly(samples: Float32Array, start: number, step: number): Float32Array {
  const reader = new Resampler(start, step);
  const head = reader.push(samples);
  const tail = reader.finish();
  const out = new Float32Array(head.length + tail.length);
  out.set(head);
  out.set(tail, head.length);
  return out;
}

/**
 * A whole array at another rate; for streams use {@link Resampler}.
 *
 * @param samples - Mono.
 * @param fromHz - Its rate.
 * @param toHz - The wanted rate; lower rates are band-limited first.
 */
export function resample(samples: Float32Array, fromHz: number, toHz: number): Float32Array {
  return readEvenly(samples, 0, fromHz / toHz);
}
