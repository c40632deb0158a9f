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
  const finite = new Float64Array(values.length);
  let count = 0;
  for (let i = 0; i < values.length; i++) if (Number.isFinite(values[i]!)) finite[count++] = values[i]!;
  if (count === 0) return 0;
  return nthSmallest(finite.subarray(0, count), Math.min(count - 1, Math.floor(quantile * count)));
}

/**
 * The value that would stand at place `n` if `x` were sorted; `x` is left in another order.
 *
 * Source: Hoare (1961), Algorithm 65: Find, Commun. ACM 4(7), 321-322.
 */
function nthSmallest(x: Float64Array, n: number): number {
  let low = 0;
  let high = x.length - 1;
  while (low < high) {
    // The middle one of three, so that what is sorted already is not the worst case.
    const [a, b, c] = [x[low]!, x[(low + high) >> 1]!, x[high]!];
    const pivot = Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
    let i = low;
    let j = high;
    while (i <= j) {
      while (x[i]! < pivot) i++;
      while (x[j]! > pivot) j--;
      if (i > j) break;
      const held = x[i]!;
      x[i++] = x[j]!;
      x[j--] = held;
    }
    if (n <= j) high = j;
    else if (n >= i) low = i;
    else break;
  }
  return x[n]!;
}
