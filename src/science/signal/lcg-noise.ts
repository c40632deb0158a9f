/**
 * White noise that is the same everywhere: x[i] = s / 2^31 - 1, s <- (1664525 s + 1013904223) mod 2^32.
 *
 * @param length - Samples.
 * @param seed - First s. With 1 the first values are -0.527089, -0.261459, 0.008484, 0.409767.
 * @returns Values in [-1, 1).
 *
 * Source of the constants: Press et al., Numerical Recipes (1992), section 7.1 ("quick and dirty" generator).
 */
export function lcgNoise(length: number, seed = 1): Float32Array {
  const noise = new Float32Array(length);
  let s = seed >>> 0;
  for (let i = 0; i < length; i++) {
    s = (Math.imul(s, 1664525) + 1013904223) >>> 0;
    noise[i] = s / 2 ** 31 - 1;
  }
  return noise;
}
