/** Zero crossings of the sinc on either side, and phases of its table. */
const reach = 16;
const phases = 512;
let table: Float32Array | undefined;

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
  table ??= makeTable();
  for (let n = 0; n < out.length; n++) {
    const at = from + n * step;
    const whole = Math.floor(at);
    const phase = (at - whole) * phases;
    const row = Math.floor(phase);
    const blend = phase - row;
    const low = row * 2 * reach;
    const high = low + 2 * reach;
    const first = whole - reach + 1;
    let sum = 0;
    if (first >= 0 && first + 2 * reach <= signal.length) {
      for (let k = 0; k < 2 * reach; k++)
        sum += signal[first + k]! * (table[low + k]! + blend * (table[high + k]! - table[low + k]!));
    } else {
      for (let k = 0; k < 2 * reach; k++)
        sum += (signal[first + k] ?? 0) * (table[low + k]! + blend * (table[high + k]! - table[low + k]!));
    }
    out[n] = sum;
  }
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
