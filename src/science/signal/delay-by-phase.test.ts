import { describe, expect, it } from "vitest";
import { delayByPhase } from "./delay-by-phase.ts";
import { loadFft } from "./fft.ts";
import { lcgNoise } from "./lcg-noise.ts";
import { parabolaTop } from "./peak.ts";

/** Circular delay by any fraction of a sample: the spectrum turned. */
async function delayedAround(x: Float32Array, delaySamples: number): Promise<Float32Array> {
  const n = x.length;
  const fft = (await loadFft())(n);
  const spectrum = new Float32Array(n);
  fft.forward(x, spectrum);
  for (let k = 1; k < n / 2; k++) {
    const angle = (-2 * Math.PI * k * delaySamples) / n;
    const re = spectrum[2 * k]!;
    const im = spectrum[2 * k + 1]!;
    spectrum[2 * k] = re * Math.cos(angle) - im * Math.sin(angle);
    spectrum[2 * k + 1] = re * Math.sin(angle) + im * Math.cos(angle);
  }
  spectrum[1]! *= Math.cos(Math.PI * delaySamples);
  const y = new Float32Array(n);
  fft.inverse(spectrum, y);
  return y;
}

// A linear congruential noise of 16 384 values delayed around its length; lags read by an independent
// implementation of Knapp & Carter's phase transform in double precision, zero-padded to 2n.
// [delay, critically sampled + parabola, refined 16 times + parabola]
const readings: readonly [number, number, number][] = [
  [100, 99.9998, 99.9997],
  [-37, -37.0004, -37.0008],
  [7.25, 7.1429, 7.25],
  [12.4, 12.2934, 12.3996],
  [-3.1, -3.0511, -3.1001],
];

describe("the phase transform, against an independent implementation of Knapp & Carter (1976)", () => {
  it("starts from the same noise", () => {
    expect([...lcgNoise(4)].map((v) => v.toFixed(6))).toEqual([
      "-0.527089",
      "-0.261459",
      "0.008484",
      "0.409767",
    ]);
  });

  // Four decimals printed; single precision and another handling of the highest bin leave a few 1e-4.
  it.each(readings)("reads a delay of %f samples as %f, and refined as %f", async (delay, plain, refined) => {
    const x = lcgNoise(16384);
    const y = await delayedAround(x, delay);
    expect((await delayByPhase(x, y, { upsample: 1 })).lag).toBeCloseTo(plain, 3);
    expect((await delayByPhase(x, y, { upsample: 16 })).lag).toBeCloseTo(refined, 3);
  });

  it("a parabola on a critically sampled sinc peak is biased as d / (2 - 4 d^2)", () => {
    const sinc = (t: number) => (t === 0 ? 1 : Math.sin(Math.PI * t) / (Math.PI * t));
    // Printed with the formula: 0.1 -> 0.0510, 0.25 -> 0.1429, 0.3 -> 0.1829, 0.4 -> 0.2941.
    const printed: [number, number][] = [
      [0.1, 0.051],
      [0.25, 0.1429],
      [0.3, 0.1829],
      [0.4, 0.2941],
    ];
    for (const [d, biased] of printed)
      expect(parabolaTop(sinc(-1 - d), sinc(-d), sinc(1 - d))).toBeCloseTo(biased, 4);
  });
});
