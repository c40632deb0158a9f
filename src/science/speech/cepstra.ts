const sampleRateHz = 16_000;
const windowSamples = 400;
const hopSamples = 160;
const fftSize = 512;
const bands = 24;
const coefficients = 12;

const hertzToMel = (f: number): number => 2595 * Math.log10(1 + f / 700);
const melToHertz = (m: number): number => 700 * (10 ** (m / 2595) - 1);

const hamming = Float64Array.from(
  { length: windowSamples },
  (_, n) => 0.54 - 0.46 * Math.cos((2 * Math.PI * n) / (windowSamples - 1)),
);

/** Triangles of equal width on the mel scale, 64 Hz to 8 kHz: the bins that each touches, with weights. */
const filters = ((): { first: number; weights: Float64Array }[] => {
  const low = hertzToMel(64);
  const high = hertzToMel(sampleRateHz / 2);
  const edge = (i: number): number =>
    (melToHertz(low + ((high - low) * i) / (bands + 1)) * fftSize) / sampleRateHz;
  return Array.from({ length: bands }, (_, b) => {
    const [left, middle, right] = [edge(b), edge(b + 1), edge(b + 2)];
    const first = Math.ceil(left);
    const weights: number[] = [];
    for (let k = first; k <= Math.min(right, fftSize / 2); k++)
      weights.push(k <= middle ? (k - left) / (middle - left) : (right - k) / (right - middle));
    return { first, weights: Float64Array.from(weights) };
  });
})();

const cosines = Array.from({ length: coefficients }, (_, c) =>
  Float64Array.from({ length: bands }, (__, b) => Math.cos((Math.PI * (c + 1) * (b + 0.5)) / bands)),
);

/** In-place complex transform, radix 2, length a power of two. */
function transform(re: Float64Array, im: Float64Array): void {
  const n = re.length;
  for (let i = 1, j = 0; i < n; i++) {
    let bit = n >> 1;
    for (; j & bit; bit >>= 1) j ^= bit;
    j ^= bit;
    if (i < j) {
      [re[i], re[j]] = [re[j]!, re[i]!];
      [im[i], im[j]] = [im[j]!, im[i]!];
    }
  }
  for (let size = 2; size <= n; size <<= 1) {
    const angle = (-2 * Math.PI) / size;
    for (let k = 0; k < size / 2; k++) {
      const [wr, wi] = [Math.cos(angle * k), Math.sin(angle * k)];
      for (let i = k; i < n; i += size) {
        const j = i + size / 2;
        const [xr, xi] = [re[j]! * wr - im[j]! * wi, re[j]! * wi + im[j]! * wr];
        re[j] = re[i]! - xr;
        im[j] = im[i]! - xi;
        re[i] = re[i]! + xr;
        im[i] = im[i]! + xi;
      }
    }
  }
}

/**
 * The colour of a voice from moment to moment: twelve mel-frequency cepstral coefficients every 10 ms.
 *
 * The zeroth coefficient, which is level, is left out: the same word said softer stays the same.
 *
 * @param samples - Mono, 16 kHz, full scale ±1; at least 400 samples give one frame.
 * @returns Frames in order, each of length 12. Empty where there is less than one window.
 *
 * Source: S. Davis and P. Mermelstein, "Comparison of parametric representations for monosyllabic word
 * recognition", IEEE Trans. ASSP 28(4), 1980; window, hop and band count are common practice.
 */
export function cepstra(samples: Float32Array): Float32Array[] {
  const frames: Float32Array[] = [];
  const re = new Float64Array(fftSize);
  const im = new Float64Array(fftSize);
  const energies = new Float64Array(bands);
  for (let start = 0; start + windowSamples <= samples.length; start += hopSamples) {
    re.fill(0);
    im.fill(0);
    for (let n = 0; n < windowSamples; n++) {
      const emphasised = samples[start + n]! - 0.97 * (start + n > 0 ? samples[start + n - 1]! : 0);
      re[n] = emphasised * hamming[n]!;
    }
    transform(re, im);
    for (let b = 0; b < bands; b++) {
      const { first, weights } = filters[b]!;
      let sum = 0;
      for (let k = 0; k < weights.length; k++)
        sum += weights[k]! * (re[first + k]! ** 2 + im[first + k]! ** 2);
      energies[b] = Math.log(sum + 1e-7);
    }
    frames.push(
      Float32Array.from(cosines, (row) => row.reduce((sum, w, b) => sum + w * energies[b]!, 0) / bands),
    );
  }
  return frames;
}
