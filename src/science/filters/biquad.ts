/** One second-order section, a0 = 1: y = b0·x + b1·x₁ + b2·x₂ − a1·y₁ − a2·y₂. */
export interface Biquad {
  readonly b0: number;
  readonly b1: number;
  readonly b2: number;
  readonly a1: number;
  readonly a2: number;
}

function normalised(b0: number, b1: number, b2: number, a0: number, a1: number, a2: number): Biquad {
  return { b0: b0 / a0, b1: b1 / a0, b2: b2 / a0, a1: a1 / a0, a2: a2 / a0 };
}

function angle(frequencyHz: number, sampleRateHz: number): { cos: number; sin: number } {
  const w = (2 * Math.PI * frequencyHz) / sampleRateHz;
  return { cos: Math.cos(w), sin: Math.sin(w) };
}

/** Second-order high-pass; `q` = √½ is Butterworth: −3.01 dB at `frequencyHz`. Source: R. Bristow-Johnson, "Cookbook formulae for audio EQ". */
export function highPass(frequencyHz: number, sampleRateHz: number, q: number = Math.SQRT1_2): Biquad {
  const { cos, sin } = angle(frequencyHz, sampleRateHz);
  const alpha = sin / (2 * q);
  return normalised((1 + cos) / 2, -(1 + cos), (1 + cos) / 2, 1 + alpha, -2 * cos, 1 - alpha);
}

/** Second-order low-pass, as {@link highPass}. */
export function lowPass(frequencyHz: number, sampleRateHz: number, q: number = Math.SQRT1_2): Biquad {
  const { cos, sin } = angle(frequencyHz, sampleRateHz);
  const alpha = sin / (2 * q);
  return normalised((1 - cos) / 2, 1 - cos, (1 - cos) / 2, 1 + alpha, -2 * cos, 1 - alpha);
}

/** Lifts (or cuts) everything below `frequencyHz` by `gainDb`; half of it at that frequency. Slope 1. Same source. */
export function lowShelf(frequencyHz: number, sampleRateHz: number, gainDb: number): Biquad {
  const { cos, sin } = angle(frequencyHz, sampleRateHz);
  const A = 10 ** (gainDb / 40);
  const r = Math.SQRT2 * sin * Math.sqrt(A);
  return normalised(
    A * (A + 1 - (A - 1) * cos + r),
    2 * A * (A - 1 - (A + 1) * cos),
    A * (A + 1 - (A - 1) * cos - r),
    A + 1 + (A - 1) * cos + r,
    -2 * (A - 1 + (A + 1) * cos),
    A + 1 + (A - 1) * cos - r,
  );
}

/** Lifts (or cuts) everything above `frequencyHz` by `gainDb`; half of it at that frequency. Slope 1. Same source. */
export function highShelf(frequencyHz: number, sampleRateHz: number, gainDb: number): Biquad {
  const { cos, sin } = angle(frequencyHz, sampleRateHz);
  const A = 10 ** (gainDb / 40);
  const r = Math.SQRT2 * sin * Math.sqrt(A);
  return normalised(
    A * (A + 1 + (A - 1) * cos + r),
    -2 * A * (A - 1 + (A + 1) * cos),
    A * (A + 1 + (A - 1) * cos - r),
    A + 1 - (A - 1) * cos + r,
    2 * (A - 1 - (A + 1) * cos),
    A + 1 - (A - 1) * cos - r,
  );
}

/** Magnitude of the section at a frequency, in decibels. */
export function gainDbAt(section: Biquad, frequencyHz: number, sampleRateHz: number): number {
  const w = (2 * Math.PI * frequencyHz) / sampleRateHz;
  const power = (c0: number, c1: number, c2: number): number =>
    (c0 + c1 * Math.cos(w) + c2 * Math.cos(2 * w)) ** 2 + (c1 * Math.sin(w) + c2 * Math.sin(2 * w)) ** 2;
  return 10 * Math.log10(power(section.b0, section.b1, section.b2) / power(1, section.a1, section.a2));
}

/** Sections in a row with their memory, for a stream. Changes the given block in place and answers it. */
export class FilterChain {
  readonly #sections: readonly Biquad[];
  readonly #memory: Float64Array;

  constructor(sections: readonly Biquad[]) {
    this.#sections = sections;
    this.#memory = new Float64Array(2 * sections.length);
  }

  /** Filters a block; the state goes on from the block before. Same length, a new array. */
  run(samples: Float32Array): Float32Array {
    this.#sections.forEach(({ b0, b1, b2, a1, a2 }, s) => {
      // Transposed direct form II: two numbers of memory, kept in double precision.
      let m1 = this.#memory[2 * s]!;
      let m2 = this.#memory[2 * s + 1]!;
      for (let i = 0; i < samples.length; i++) {
        const x = samples[i]!;
        const y = b0 * x + m1;
        m1 = b1 * x - a1 * y + m2;
        m2 = b2 * x - a2 * y;
        samples[i] = y;
      }
      this.#memory[2 * s] = m1;
      this.#memory[2 * s + 1] = m2;
    });
    return samples;
  }
}
