import type { FftMaker } from "./fft.ts";
import { kernels, placeForFloats } from "./simd/kernels.ts";

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
  /** The same near lag 0 alone. */
  correlationAround(reach: number): CorrelationPart;
  /**
   * How much each frequency counted in the blocks since {@link clear}: what {@link kernelAround} is made of.
   *
   * @param out - `blockSamples / 2` values, 0 to 1, added to what it holds.
   * @param share - Multiplies what is added.
   */
  addCounts(out: Float32Array, share: number): void;
  /**
   * The correlation that a pure delay would have left with such counts: what a talker's pitch draws beside its peak.
   *
   * @param counts - As gathered by {@link addCounts}; a sum of several is as good.
   * @param reach - As for {@link correlationAround}: the peak stands in the middle.
   */
  kernelAround(counts: Float32Array, reach: number): Float32Array;
}

/** Lags -reach to reach of a correlation, in steps of a sample over `upsample`. */
export interface CorrelationPart {
  /** `2 reach + 1` values, lag 0 in the middle. */
  readonly values: Float32Array;
  /** Root mean square of the whole correlation: what there is where nothing is shared. */
  readonly noise: number;
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
  const desk = deskFor(blockSamples);
  const own: Own = {
    re: new Float32Array(blockSamples / 2),
    im: new Float32Array(blockSamples / 2),
    counted: new Float32Array(blockSamples / 2),
    window: window ?? null,
    softness: usualPower
      ? inverseRoot(spreadOver(usualPower[0], blockSamples), spreadOver(usualPower[1], blockSamples))
      : new Float32Array(blockSamples / 2).fill(plainSoftness),
  };
  // Whole fours around the band: what lies outside is never read.
  const firstCounted = firstBin & ~3;
  const counted = Math.ceil((endBin - firstCounted) / 4) * 4;
  let weights = 0;

  /** Writes a block's spectrum, as pairs, to the desk. */
  const transform = (signal: Float32Array, to: "a" | "b") => {
    const spectrum = fft.spectrumOf((samples) => {
      if (window) {
        desk.sound.values.set(signal);
        kernels().multiply(desk.sound.at, desk.window.at, desk.sound.at, blockSamples);
        samples.set(desk.sound.values);
      } else samples.set(signal);
    });
    desk[to].values.set(spectrum);
  };

  /** The spectrum of the correlation, so that n times its inverse is the correlation; and half its power. */
  const fill = (padded: Float32Array): number => {
    padded.fill(0);
    if (weights === 0) return 0;
    takeDesk(desk, own);
    const re = desk.re.values;
    const im = desk.im.values;
    return placed(padded, re, im, firstBin, endBin, 1 / (2 * weights * (endBin - firstBin)));
  };

  return {
    blockSamples,
    upsample,
    clear() {
      takeDesk(desk, own);
      for (const sum of [desk.re, desk.im, desk.counted]) sum.values.fill(0);
      weights = 0;
    },
    add(first, second, expectedLag, weight) {
      takeDesk(desk, own);
      transform(first, "a");
      transform(second, "b");
      addCross(desk, firstCounted, counted, (2 * Math.PI * expectedLag) / blockSamples, weight);
      weights += weight;
    },
    correlation(out) {
      out.set(longFft.signalOf(fill));
    },
    correlationAround(reach) {
      let power = 0;
      const signal = longFft.signalOf((padded) => {
        power = fill(padded);
      });
      return { values: middleOf(signal, reach), noise: Math.sqrt(2 * power) };
    },
    addCounts(out, share) {
      if (weights === 0) return;
      takeDesk(desk, own);
      addScaled(out, desk.counted.values, share / weights, firstBin, endBin);
    },
    kernelAround(counts, reach) {
      const signal = longFft.signalOf((padded) => {
        padded.fill(0);
        const scale = 1 / (2 * (endBin - firstBin));
        for (let k = firstBin; k < endBin; k++) padded[2 * k] = counts[k]! * scale;
      });
      return middleOf(signal, reach);
    },
  };
}

/** Counts every frequency alike, however soft: far above what a correlation of sounds can come to. */
const plainSoftness = 1e24;

/** What a correlator has in the kernels' memory while it is at work, and keeps by itself meanwhile. */
interface Own {
  readonly re: Float32Array;
  readonly im: Float32Array;
  readonly counted: Float32Array;
  readonly window: Float32Array | null;
  readonly softness: Float32Array;
}

const makeDesk = (blockSamples: number) => ({
  user: null as Own | null,
  sound: placeForFloats(blockSamples),
  window: placeForFloats(blockSamples),
  a: placeForFloats(blockSamples),
  b: placeForFloats(blockSamples),
  softness: placeForFloats(blockSamples / 2),
  re: placeForFloats(blockSamples / 2),
  im: placeForFloats(blockSamples / 2),
  counted: placeForFloats(blockSamples / 2),
  rotor: placeForFloats(8),
});
type Desk = ReturnType<typeof makeDesk>;

/** One a size: correlators of one size take turns, and seldom. */
const desks = new Map<number, Desk>();

function deskFor(blockSamples: number): Desk {
  let desk = desks.get(blockSamples);
  if (!desk) desks.set(blockSamples, (desk = makeDesk(blockSamples)));
  return desk;
}

const sums = ["re", "im", "counted"] as const;

/** Puts a correlator's own onto the desk; what another one has there is kept for it. */
function takeDesk(desk: Desk, own: Own): void {
  if (desk.user === own) return;
  for (const sum of sums) {
    desk.user?.[sum].set(desk[sum].values);
    desk[sum].values.set(own[sum]);
  }
  desk.softness.values.set(own.softness);
  if (own.window) desk.window.values.set(own.window);
  desk.user = own;
}

/** Bins to a renewal of the rotor, so that rounding does not pile up. */
const binsTogether = 256;

/** Adds conj(A) B, turned by `step` radians a bin and brought to one size; fours of bins from `firstBin`. */
function addCross(desk: Desk, firstBin: number, count: number, step: number, weight: number): void {
  const { addCross: add } = kernels();
  const rotor = desk.rotor.values;
  const turnRe = Math.cos(4 * step);
  const turnIm = Math.sin(4 * step);
  for (let done = 0; done < count; done += binsTogether) {
    const bin = firstBin + done;
    for (let k = 0; k < 4; k++) {
      rotor[k] = Math.cos(step * (bin + k));
      rotor[4 + k] = Math.sin(step * (bin + k));
    }
    add(
      desk.a.at + 8 * bin,
      desk.b.at + 8 * bin,
      desk.softness.at + 4 * bin,
      desk.re.at + 4 * bin,
      desk.im.at + 4 * bin,
      desk.counted.at + 4 * bin,
      Math.min(binsTogether, count - done),
      desk.rotor.at,
      turnRe,
      turnIm,
      weight,
    );
  }
}

// Functions of nothing but their arguments: the compiler then keeps all of it in registers.

/** Pairs (re, im) times `scale` in their places; returns the sum of their squares. */
function placed(
  out: Float32Array,
  re: Float32Array,
  im: Float32Array,
  first: number,
  end: number,
  scale: number,
): number {
  let power = 0;
  for (let k = first; k < end; k++) {
    const a = re[k]! * scale;
    const b = im[k]! * scale;
    out[2 * k] = a;
    out[2 * k + 1] = b;
    power += a * a + b * b;
  }
  return power;
}

function addScaled(out: Float32Array, x: Float32Array, scale: number, first: number, end: number): void {
  for (let k = first; k < end; k++) out[k]! += scale * x[k]!;
}

/** Lags -reach to reach of a circular correlation, lag 0 in the middle. */
function middleOf(r: Float32Array, reach: number): Float32Array {
  const slice = new Float32Array(2 * reach + 1);
  slice.set(r.subarray(r.length - reach), 0);
  slice.set(r.subarray(0, reach + 1), reach);
  return slice;
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
