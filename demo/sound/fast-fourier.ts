/** A complex Fourier transform of one length (a power of two), in place. Source: Cooley & Tukey 1965, radix 2. */
export interface FourierTransform {
  readonly size: number;
  forward(re: Float64Array, im: Float64Array): void;
  /** Without the division by the size. */
  backward(re: Float64Array, im: Float64Array): void;
}

export function fourierTransform(size: number): FourierTransform {
  const bits = Math.round(Math.log2(size));
  const cos = new Float64Array(size / 2);
  const sin = new Float64Array(size / 2);
  for (let k = 0; k < size / 2; k++) {
    cos[k] = Math.cos((2 * Math.PI * k) / size);
    sin[k] = -Math.sin((2 * Math.PI * k) / size);
  }
  const swap = new Uint32Array(size);
  for (let i = 0; i < size; i++) {
    let r = 0;
    for (let b = 0; b < bits; b++) if (i & (1 << b)) r |= 1 << (bits - 1 - b);
    swap[i] = r;
  }
  const run = (re: Float64Array, im: Float64Array): void => {
    for (let i = 0; i < size; i++) {
      const j = swap[i]!;
      if (j <= i) continue;
      const a = re[i]!;
      re[i] = re[j]!;
      re[j] = a;
      const b = im[i]!;
      im[i] = im[j]!;
      im[j] = b;
    }
    for (let half = 1; half < size; half <<= 1) {
      const step = size / (2 * half);
      for (let start = 0; start < size; start += 2 * half)
        for (let k = 0, w = 0; k < half; k++, w += step) {
          const i = start + k;
          const j = i + half;
          const c = cos[w]!;
          const s = sin[w]!;
          const xr = re[j]! * c - im[j]! * s;
          const xi = re[j]! * s + im[j]! * c;
          re[j] = re[i]! - xr;
          im[j] = im[i]! - xi;
          re[i]! += xr;
          im[i]! += xi;
        }
    }
  };
  return { size, forward: run, backward: (re, im) => run(im, re) };
}
