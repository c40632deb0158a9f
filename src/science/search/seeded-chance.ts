/** A source of chance that is the same on every machine for the same seed. */
export interface SeededChance {
  /** Even in [0, 1), 32 bits. */
  next(): number;
  /** Normal, mean 0 and deviation 1 (Box and Muller, 1958). */
  normal(): number;
  /** Cauchy about 0, scale 1. */
  cauchy(): number;
  /** A whole number in [0, count). */
  below(count: number): number;
}

/**
 * Words of the generator xoshiro128** 1.1, which calls write over.
 *
 * @param state - Four words, not all 0.
 * @returns The next word, 0 to 2^32 - 1.
 *
 * Source: D. Blackman and S. Vigna, Scrambled linear pseudorandom number generators (2021).
 */
export function nextWord(state: Uint32Array): number {
  const [s0, s1, s2, s3] = [state[0]!, state[1]!, state[2]!, state[3]!];
  const times5 = Math.imul(s1, 5);
  const word = Math.imul((times5 << 7) | (times5 >>> 25), 9) >>> 0;
  const x2 = s2 ^ s0;
  const x3 = s3 ^ s1;
  state[1] = s1 ^ x2;
  state[0] = s0 ^ x3;
  state[2] = x2 ^ (s1 << 9);
  state[3] = (x3 << 11) | (x3 >>> 21);
  return word;
}

/** Chance from a seed; the seed's words are spread by the finaliser of MurmurHash3. */
export function seededChance(seed: number): SeededChance {
  const state = new Uint32Array(4);
  for (let i = 0; i < 4; i++) {
    let word = (seed + Math.imul(i + 1, 0x9e3779b9)) >>> 0;
    word = Math.imul(word ^ (word >>> 16), 0x85ebca6b);
    word = Math.imul(word ^ (word >>> 13), 0xc2b2ae35);
    state[i] = word ^ (word >>> 16);
  }
  if (state.every((word) => word === 0)) state[0] = 1;
  const next = (): number => nextWord(state) / 2 ** 32;
  return {
    next,
    normal: () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()),
    cauchy: () => Math.tan(Math.PI * (next() - 0.5)),
    below: (count) => Math.floor(next() * count),
  };
}
