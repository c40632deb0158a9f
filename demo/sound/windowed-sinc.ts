/** Zeroth-order modified Bessel function, by its series (Abramowitz & Stegun 9.6.12). */
function besselI0(x: number): number {
  let sum = 1;
  let term = 1;
  for (let k = 1; k < 40; k++) {
    term *= (x / (2 * k)) ** 2;
    sum += term;
    if (term < sum * 1e-17) break;
  }
  return sum;
}

/** Kaiser's window over -1 to 1. Source: J. F. Kaiser, "Nonrecursive digital filter design", 1974. */
export function kaiser(x: number, beta: number): number {
  return Math.abs(x) >= 1 ? 0 : besselI0(beta * Math.sqrt(1 - x * x)) / besselI0(beta);
}

export interface SincTable {
  /** Samples on each side that one output reads. */
  readonly reach: number;
  readonly phases: number;
  /** `phases + 1` rows of `2 reach` weights; row p is for an output p / phases of a sample after sample 0. */
  readonly weights: Float32Array;
}

/**
 * A table of band-limited interpolators.
 *
 * @param cutoff - Highest frequency kept, as a share of half the input rate; below 1 when the rate falls.
 * @param reach - Samples read on each side.
 */
export function sincTable(cutoff = 0.98, reach = 32, phases = 1024, beta = 9): SincTable {
  const weights = new Float32Array((phases + 1) * 2 * reach);
  for (let p = 0; p <= phases; p++) {
    let sum = 0;
    const row = p * 2 * reach;
    for (let i = 0; i < 2 * reach; i++) {
      const x = i - (reach - 1) - p / phases;
      const s = x === 0 ? cutoff : Math.sin(Math.PI * cutoff * x) / (Math.PI * x);
      const w = s * kaiser(x / reach, beta);
      weights[row + i] = w;
      sum += w;
    }
    // exactly one for a constant
    for (let i = 0; i < 2 * reach; i++) weights[row + i]! /= sum;
  }
  return { reach, phases, weights };
}

/**
 * The value of a sampled sound between its samples.
 *
 * @param samples - `samples[0]` is at position `first`. Positions outside count as silence.
 * @param position - In samples, any fraction.
 */
export function valueAt(table: SincTable, samples: Float32Array, first: number, position: number): number {
  const { reach, phases, weights } = table;
  const whole = Math.floor(position);
  const fraction = (position - whole) * phases;
  const phase = Math.floor(fraction);
  const between = fraction - phase;
  const row = phase * 2 * reach;
  const next = row + 2 * reach;
  const start = whole - (reach - 1) - first;
  let a = 0;
  let b = 0;
  if (start >= 0 && start + 2 * reach <= samples.length) {
    for (let i = 0; i < 2 * reach; i++) {
      const s = samples[start + i]!;
      a += s * weights[row + i]!;
      b += s * weights[next + i]!;
    }
  } else {
    for (let i = 0; i < 2 * reach; i++) {
      const k = start + i;
      if (k < 0 || k >= samples.length) continue;
      a += samples[k]! * weights[row + i]!;
      b += samples[k]! * weights[next + i]!;
    }
  }
  return a + (b - a) * between;
}

/** A whole sound at another rate. */
export function atRate(samples: Float32Array, fromHz: number, toHz: number): Float32Array {
  const table = sincTable(Math.min(1, toHz / fromHz) * 0.96, 32, 512);
  const out = new Float32Array(Math.floor((samples.length * toHz) / fromHz));
  for (let n = 0; n < out.length; n++) out[n] = valueAt(table, samples, 0, (n * fromHz) / toHz);
  return out;
}
