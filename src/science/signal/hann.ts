/** Hann window, periodic: 0.5 - 0.5 cos(2 pi i / n); halves that overlap by half add up to 1. */
export function hann(length: number): Float32Array {
  return Float32Array.from({ length }, (_, i) => 0.5 - 0.5 * Math.cos((2 * Math.PI * i) / length));
}
