/*
 * ITU-R BS.1770-5 (2023), Annex 2: the four-phase, 12-tap interpolator. Digits as printed; phases 2 and 3 are
 * phases 1 and 0 read backwards. [BS1770-5]
 */
const phase0 = [
  0.001708984375, 0.010986328125, -0.0196533203125, 0.033203125, -0.0594482421875, 0.1373291015625,
  0.97216796875, -0.102294921875, 0.047607421875, -0.026611328125, 0.014892578125, -0.00830078125,
];
const phase1 = [
  -0.0291748046875, 0.029296875, -0.0517578125, 0.089111328125, -0.16650390625, 0.465087890625, 0.77978515625,
  -0.2003173828125, 0.1015625, -0.0582275390625, 0.0330810546875, -0.0189208984375,
];
const taps = 12;
/** No interpolated value can be greater than this times the greatest sample under the filter: Σ|weights|. */
const mostGain = Math.max(...[phase0, phase1].map((phase) => phase.reduce((sum, w) => sum + Math.abs(w), 0)));
/** Samples that are judged together before any is interpolated. */
const stretch = 64;
/** Samples by which an interpolated peak is known late. */
export const truePeakDelaySamples = 6;

/**
 * The largest of the four interpolated values that belong to each sample, as a stream.
 *
 * Value n of the output stands for the input around sample n − {@link truePeakDelaySamples}.
 */
export class PeakInterpolator {
  #history = new Float64Array(taps - 1);
  readonly #ofInterest: number;

  /** @param ofInterest - Peaks that are sure to stay under this are not worked out and given as 0. */
  constructor(ofInterest = 0) {
    this.#ofInterest = ofInterest;
  }

  /** Absolute interpolated peaks, one per input sample; linear, 1 is full scale. 48 kHz as the filter is made for it. */
  push(samples: Float32Array): Float64Array {
    const x = new Float64Array(taps - 1 + samples.length);
    x.set(this.#history);
    x.set(samples, taps - 1);
    const peaks = new Float64Array(samples.length);
    for (let from = 0; from < samples.length; from += stretch) {
      const end = Math.min(samples.length, from + stretch);
      let greatest = 0;
      for (let n = from; n < end + taps - 1; n++) greatest = Math.max(greatest, Math.abs(x[n]!));
      if (greatest * mostGain >= this.#ofInterest) interpolate(x, peaks, from, end);
    }
    this.#history = x.slice(samples.length);
    return peaks;
  }
}

function interpolate(x: Float64Array, peaks: Float64Array, from: number, end: number): void {
  for (let n = from; n < end; n++) {
    let a = 0;
    let b = 0;
    let c = 0;
    let d = 0;
    for (let k = 0; k < taps; k++) {
      const newest = x[n + taps - 1 - k]!;
      const oldest = x[n + k]!;
      a += phase0[k]! * newest;
      b += phase1[k]! * newest;
      c += phase1[k]! * oldest;
      d += phase0[k]! * oldest;
    }
    peaks[n] = Math.max(Math.abs(a), Math.abs(b), Math.abs(c), Math.abs(d));
  }
}

/**
 * True peak of one channel at 48 kHz.
 *
 * @param samples - Full scale ±1; above is allowed.
 * @returns dBTP; `-Infinity` for silence.
 *
 * Source: ITU-R BS.1770-5 (2023), Annex 2. [BS1770-5]
 */
export function truePeakDbtp(samples: Float32Array): number {
  const interpolator = new PeakInterpolator();
  let peak = 0;
  for (const part of [samples, new Float32Array(taps)]) {
    for (const value of interpolator.push(part)) if (value > peak) peak = value;
  }
  return 20 * Math.log10(peak);
}
