import { fourierTransform } from "./fast-fourier.ts";

/** Samples that go in and come out of a convolver at once. */
export const blockSamples = 32_768;

/**
 * Two sources into two microphones, through four room responses, block after block (overlap and add).
 *
 * Both sources share one transform, as its real and imaginary parts, and so do both microphones.
 *
 * @param responses - `[microphone][source]`, each at most {@link blockSamples} + 1 long; a second microphone may be missing.
 * @returns A function from two blocks of {@link blockSamples} to the two microphones' next blocks.
 */
export function twoByTwoConvolver(
  responses: readonly (readonly [Float32Array, Float32Array])[],
): (first: Float32Array, second: Float32Array) => [Float32Array, Float32Array] {
  const size = 2 * blockSamples;
  const transform = fourierTransform(size);
  const spectra = responses.map((pair) =>
    pair.map((response) => {
      if (response.length > blockSamples + 1)
        throw new RangeError("The room's response is longer than a block.");
      const re = new Float64Array(size);
      const im = new Float64Array(size);
      re.set(response);
      transform.forward(re, im);
      return { re, im };
    }),
  );
  const tails = [new Float64Array(blockSamples), new Float64Array(blockSamples)];
  const re = new Float64Array(size);
  const im = new Float64Array(size);
  const outRe = new Float64Array(size);
  const outIm = new Float64Array(size);
  return (first, second) => {
    re.fill(0);
    im.fill(0);
    re.set(first);
    im.set(second);
    transform.forward(re, im);
    for (let k = 0; k < size; k++) {
      const j = (size - k) & (size - 1);
      // the two real sources' spectra, taken apart
      const sr = 0.5 * (re[k]! + re[j]!);
      const si = 0.5 * (im[k]! - im[j]!);
      const qr = 0.5 * (im[k]! + im[j]!);
      const qi = 0.5 * (re[j]! - re[k]!);
      let or = 0;
      let oi = 0;
      for (let m = 0; m < spectra.length; m++) {
        const [a, b] = spectra[m]! as [
          { re: Float64Array; im: Float64Array },
          { re: Float64Array; im: Float64Array },
        ];
        const xr = sr * a.re[k]! - si * a.im[k]! + qr * b.re[k]! - qi * b.im[k]!;
        const xi = sr * a.im[k]! + si * a.re[k]! + qr * b.im[k]! + qi * b.re[k]!;
        if (m === 0) {
          or += xr;
          oi += xi;
        } else {
          or -= xi;
          oi += xr;
        }
      }
      outRe[k] = or;
      outIm[k] = oi;
    }
    transform.backward(outRe, outIm);
    return [outRe, outIm].map((plane, m) => {
      const tail = tails[m]!;
      const out = new Float32Array(blockSamples);
      for (let n = 0; n < blockSamples; n++) {
        out[n] = plane[n]! / size + tail[n]!;
        tail[n] = plane[n + blockSamples]! / size;
      }
      return out;
    }) as [Float32Array, Float32Array];
  };
}
