import { gaussianFrom, randomFrom } from "../random.ts";

/** Side of the square of grain that is laid at a new place on every frame; a power of two. */
export const grainTileSide = 512;

/** A square of film-like grain, its edges matching, of deviation `strength` in codes; slightly soft, as grain is. */
export function grainTile(seed: number, strength: number): Float32Array {
  const side = grainTileSide;
  const gaussian = gaussianFrom(randomFrom(seed ^ 0x6a11));
  const white = Float32Array.from({ length: side * side }, () => gaussian());
  const out = new Float32Array(side * side);
  let sum = 0;
  for (let y = 0; y < side; y++)
    for (let x = 0; x < side; x++) {
      const l = (x + side - 1) & (side - 1);
      const r = (x + 1) & (side - 1);
      const a = ((y + side - 1) & (side - 1)) * side;
      const b = ((y + 1) & (side - 1)) * side;
      const v =
        white[y * side + x]! +
        0.5 * (white[y * side + l]! + white[y * side + r]! + white[a + x]! + white[b + x]!);
      out[y * side + x] = v;
      sum += v * v;
    }
  const scale = strength / Math.sqrt(sum / out.length);
  for (let k = 0; k < out.length; k++) out[k]! *= scale;
  return out;
}
