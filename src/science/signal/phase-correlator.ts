import type { FftMaker } from "./fft.ts";

/** Gathers evidence about the delay between two signals, block by block, and gives it as one correlation. */
export interface PhaseCorrelator {
  readonly blockSamples: number;
  readonly upsample: number;
  /** Forgets every block. */
  clear(): void;
  /**
   * Adds one block of each signal.
   *
   * @param first - `blockSamples` samples.
   * @param second - As many; where it is `first` delayed by d samples, the peak comes to lag d - `expectedLag`.
   * @param expectedLag - Samples, any fraction: the delay known already.
   * @param weight - How much this block counts.
   */
  add(first: Float32Array, second: Float32Array, expectedLag: number, weight: number): void;
  /**
   * The correlation of all blocks since {@link clear}, each frequency counted alike: 1 where every phase agrees.
   *
   * @param out - `blockSamples * upsample` values; lag L samples stands at index `L * upsample`, negative lags
   *   count from the end.
   */
  correlation(out: Float32Array): void;
  /**
   * How much each frequency counted in the blocks since {@link clear}: what {@link kernel} is made of.
   *
   * @param out - `blockSamples / 2` values, 0 to 1, added to what it holds.
   * @param share - Multiplies what is added.
   */
  addCounts(out: Float32Array, share: number): void;
  /**
   * The correlation that a pure delay would have left with such counts: what a talker's pitch draws beside its peak.
   *
   * @param counts - As gathered by {@link addCounts}; a sum of several is as good.
   * @param out - As for {@link correlation}: the peak stands at lag 0.
   */
  kernel(counts: Float32Array, out: Float32Array): void;
}

/**
 * Generalised cross-correlation with the phase transform, summed over blocks.
 *
 * R(tau) = integral of psi(f) G12(f) e^(j 2 pi f tau) df with psi = 1/|G12|, over a band. A wanted sub-sample
 * accuracy comes from padding the cross-spectrum with zeros (`upsample`); a parabola through three points of the
 * critically sampled peak would be biased by up to 0.12 sample.
 *
 * @param options.band - Edges in cycles per sample, [low, high), 0 to 0.5.
 * @param options.usualPower - Mean power of each signal at k / 512 of the rate, k from 0 to 255, in Hann-windowed frames of
 *   512 samples. Where given, a frequency counts for less the softer both are there against their own mean, as
 *   g / (1 + g), g the root of the product of both ratios: noise between the syllables no longer drowns them.
 * @param options.window - Multiplies both blocks before the transform; none for signals that are padded already.
 *
 * Source: Knapp & Carter (1976), IEEE Trans. ASSP 24(4), 320-327. [KNAPP76]
 */
export function makePhaseCorrelator(
  makeFft: FftMaker,
  blockSamples: number,
  options: {
    readonly upsample: number;
    readonly band: readonly [low: number, high: number];
    readonly window?: Float32Array;
    readonly usualPower?: readonly [first: Float32Array, second: Float32Array];
  },
): PhaseCorrelator {
  const { upsample, band, window, usualPower } = options;
  const fft = makeFft(blockSamples);
  const longFft = makeFft(blockSamples * upsample);
  const firstBin = Math.max(1, Math.ceil(band[0] * blockSamples));
  const endBin = Math.min(blockSamples / 2, Math.ceil(band[1] * blockSamples));
  const a = new Float32Array(blockSamples);
  const b = new Float32Array(blockSamples);
  const sums: CrossSums = {
    re: new Float32Array(blockSamples / 2),
    im: new Float32Array(blockSamples / 2),
    counted: new Float32Array(blockSamples / 2),
  };
  const padded = new Float32Array(blockSamples * upsample);
  let weights = 0;

  const softness =
    usualPower &&
    inverseRoot(spreadOver(usualPower[0], blockSamples), spreadOver(usualPower[1], blockSamples));

  const transform = (signal: Float32Array, spectrum: Float32Array) => {
    if (window) for (let i = 0; i < blockSamples; i++) spectrum[i] = signal[i]! * window[i]!;
    fft.forward(window ? spectrum : signal, spectrum);
  };

  return {
    blockSamples,
    upsample,
    clear() {
      sums.re.fill(0);
      sums.im.fill(0);
      sums.counted.fill(0);
      weights = 0;
    },
    add(first, second, expectedLag, weight) {
      transform(first, a);
      transform(second, b);
      addCross(
        a,
        b,
        { firstBin, endBin, step: (2 * Math.PI * expectedLag) / blockSamples, weight, softness },
        sums,
      );
      weights += weight;
    },
    correlation(out) {
      padded.fill(0);
      if (weights > 0) {
        const scale = (blockSamples * upsample) / (2 * weights * (endBin - firstBin));
        for (let k = firstBin; k < endBin; k++) {
          padded[2 * k] = sums.re[k]! * scale;
          padded[2 * k + 1] = sums.im[k]! * scale;
        }
      }
      longFft.inverse(padded, out);
    },
    addCounts(out, share) {
      if (weights > 0)
        for (let k = firstBin; k < endBin; k++) out[k]! += (share * sums.counted[k]!) / weights;
    },
    kernel(counts, out) {
      padded.fill(0);
      const scale = (blockSamples * upsample) / (2 * (endBin - firstBin));
      for (let k = firstBin; k < endBin; k++) padded[2 * k] = counts[k]! * scale;
      longFft.inverse(padded, out);
    },
  };
}

/** What the blocks add up to at each frequency. */
interface CrossSums {
  readonly re: Float32Array;
  readonly im: Float32Array;
  readonly counted: Float32Array;
}

/** Bins to a renewal of the rotor, so that rounding does not pile up. */
const binsTogether = 256;

/**
 * Adds conj(A) B, turned by `step` radians a bin and brought to one size.
 *
 * A function of its own, with nothing but its arguments: the compiler then keeps all of it in registers.
 */
function addCross(
  a: Float32Array,
  b: Float32Array,
  how: {
    readonly firstBin: number;
    readonly endBin: number;
    readonly step: number;
    readonly weight: number;
    readonly softness: Float32Array | undefined;
  },
  sums: CrossSums,
): void {
  const { firstBin, endBin, step, weight, softness } = how;
  const { re: sumRe, im: sumIm, counted } = sums;
  const stepRe = Math.cos(step);
  const stepIm = Math.sin(step);
  for (let from = firstBin; from < endBin; from += binsTogether) {
    const end = Math.min(endBin, from + binsTogether);
    let rotorRe = Math.cos(step * from);
    let rotorIm = Math.sin(step * from);
    for (let k = from; k < end; k++) {
      const aRe = a[2 * k]!;
      const aIm = a[2 * k + 1]!;
      const bRe = b[2 * k]!;
      const bIm = b[2 * k + 1]!;
      const re = aRe * bRe + aIm * bIm;
      const im = aRe * bIm - aIm * bRe;
      const size = Math.sqrt(re * re + im * im);
      if (size > 0) {
        const scale = softness ? (weight * softness[k]!) / (1 + size * softness[k]!) : weight / size;
        sumRe[k]! += (re * rotorRe - im * rotorIm) * scale;
        sumIm[k]! += (re * rotorIm + im * rotorRe) * scale;
        counted[k]! += size * scale;
      }
      const nextRe = rotorRe * stepRe - rotorIm * stepIm;
      rotorIm = rotorRe * stepIm + rotorIm * stepRe;
      rotorRe = nextRe;
    }
  }
}

/** Power at 256 frequencies of 512 samples brought to the frequencies of a longer block under the same window. */
function spreadOver(power: Float32Array, blockSamples: number): Float32Array {
  const bins = blockSamples / 2;
  const ratio = bins / power.length;
  return Float32Array.from({ length: bins }, (_, k) => {
    const at = Math.min(power.length - 1, k / ratio);
    const low = Math.floor(at);
    const high = Math.min(power.length - 1, low + 1);
    return ratio * (power[low]! + (at - low) * (power[high]! - power[low]!)) + 1e-15;
  });
}

function inverseRoot(a: Float32Array, b: Float32Array): Float32Array {
  return a.map((v, k) => 1 / Math.sqrt(v * b[k]!));
}
