/** A 32-bit hash of up to three whole numbers (finaliser of MurmurHash3, A. Appleby, public domain). */
export function hash32(a: number, b = 0, c = 0): number {
  let h =
    Math.imul(a | 0, 0x9e3779b1) ^
    Math.imul((b | 0) + 0x7f4a7c15, 0x85ebca77) ^
    Math.imul((c | 0) + 0x165667b1, 0xc2b2ae3d);
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return (h ^ (h >>> 16)) >>> 0;
}

/** Numbers in [0, 1) in an order fixed by the seed (xorshift32, G. Marsaglia, J. Stat. Softw. 8(14), 2003). */
export function randomFrom(seed: number): () => number {
  let state = hash32(seed, 0x5eed) || 1;
  return () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 4294967296;
  };
}

/** Normally distributed numbers of mean 0 and deviation 1 (Box and Muller 1958). */
export function gaussianFrom(random: () => number): () => number {
  let spare: number | null = null;
  return () => {
    if (spare !== null) {
      const kept = spare;
      spare = null;
      return kept;
    }
    const radius = Math.sqrt(-2 * Math.log(1 - random()));
    const angle = 2 * Math.PI * random();
    spare = radius * Math.sin(angle);
    return radius * Math.cos(angle);
  };
}
