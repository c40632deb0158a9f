import { kernels, type Place, placeForFloats, placeOf } from "./simd/kernels.ts";

/** Zero crossings of the sinc on either side, and phases of its table. */
const reach = 16;
const phases = 512;
/** Values made at once. */
const mostTogether = 16_384;
let desk:
  | {
      readonly around: Place<Float32Array>;
      readonly made: Place<Float32Array>;
      readonly table: Place<Float32Array>;
    }
  | undefined;

/**
 * Reads a signal at evenly spaced moments between its samples: out[n] = signal(from + n * step).
 *
 * A Hann-windowed sinc of 32 samples, from one table of 512 phases with straight lines between. Off by at most
 * -74 dB up to a quarter of the rate, -50 dB at 0.4. It does not lower the bandwidth: keep `step` near 1.
 *
 * @param signal - Samples; zero outside.
 * @param from - Position of the first value, samples, any fraction.
 * @param step - Samples from one value to the next.
 * @param out - Filled whole.
 */
export function sampleAt(signal: Float32Array, from: number, step: number, out: Float32Array): void {
  // Piece by piece, with the samples that each needs beside it, zeros where there are none.
  for (let first = 0; first < out.length; first += mostTogether) {
    const count = Math.min(mostTogether, out.length - first);
    const start = from + first * step;
    const last = start + (count - 1) * step;
    const low = Math.floor(Math.min(start, last)) - reach + 1;
    const high = Math.floor(Math.max(start, last)) + reach + 1;
    const { around, made, table } = deskFor(high - low);
    const values = around.values;
    values.fill(0, 0, high - low);
    const heardFrom = Math.min(signal.length, Math.max(0, low));
    values.set(signal.subarray(heardFrom, Math.max(heardFrom, high)), Math.max(0, heardFrom - low));
    kernels().between(around.at, start - low, step, table.at, made.at, count);
    out.set(made.values.subarray(0, count), first);
  }
}

/** The samples around a piece, and the piece: whoever reads in this thread uses the same. */
function deskFor(count: number) {
  if (!desk || desk.around.values.length < count)
    desk = {
      around: placeForFloats(Math.max(2 * mostTogether, 2 * count)),
      made: desk?.made ?? placeForFloats(mostTogether),
      table: desk?.table ?? placeOf(makeTable()),
    };
  return desk;
}

function makeTable(): Float32Array {
  const rows = new Float32Array((phases + 1) * 2 * reach);
  for (let row = 0; row <= phases; row++)
    for (let k = 0; k < 2 * reach; k++) {
      const t = k - reach + 1 - row / phases;
      const sinc = Math.abs(t) < 1e-12 ? 1 : Math.sin(Math.PI * t) / (Math.PI * t);
      rows[row * 2 * reach + k] =
        Math.abs(t) >= reach ? 0 : sinc * (0.5 + 0.5 * Math.cos((Math.PI * t) / reach));
    }
  return rows;
}
