import { fftSizeFor, loadFft } from "./fft.ts";
import { parabolaTop } from "./peak.ts";
import { makePhaseCorrelator } from "./phase-correlator.ts";

/**
 * By how many samples `second` lags `first`: the highest peak of the phase-transformed cross-correlation.
 *
 * For two short signals as a whole. For recordings that drift against each other take
 * {@link makePhaseCorrelator} window by window.
 *
 * @param first - Samples; at most 2^20.
 * @param second - As many samples.
 * @param options.upsample - Refinement of the lag before the parabola; 16 keeps the bias under 0.001 sample.
 * @param options.band - Cycles per sample, default all: [0, 0.5).
 * @returns `lag` in samples (negative: `second` leads) and `height`, 1 for a pure delay, about 0 for strangers.
 *
 * Source: Knapp & Carter (1976). [KNAPP76]
 *
 * @example
 * Noise delayed by 7.25 samples reads 7.25.
 */
export async function delayByPhase(
  first: Float32Array,
  second: Float32Array,
  options: { readonly upsample?: number; readonly band?: readonly [number, number] } = {},
): Promise<{ lag: number; height: number }> {
  if (first.length !== second.length) throw new TypeError("delayByPhase needs signals of one length");
  const upsample = options.upsample ?? 16;
  const size = fftSizeFor(2 * first.length);
  const correlator = makePhaseCorrelator(await loadFft(), size, { upsample, band: options.band ?? [0, 0.5] });
  const pad = (signal: Float32Array) => {
    const padded = new Float32Array(size);
    padded.set(signal);
    return padded;
  };
  correlator.add(pad(first), pad(second), 0, 1);
  const r = new Float32Array(size * upsample);
  correlator.correlation(r);
  let top = 0;
  for (let i = 1; i < r.length; i++) if (r[i]! > r[top]!) top = i;
  const n = r.length;
  const fraction = parabolaTop(r[(top + n - 1) % n]!, r[top]!, r[(top + 1) % n]!);
  const index = top > n / 2 ? top - n : top;
  return { lag: (index + fraction) / upsample, height: r[top]! };
}
