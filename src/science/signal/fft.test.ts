import { describe, expect, it } from "vitest";
import { fftSizeFor, loadFft } from "./fft.ts";
import { lcgNoise } from "./lcg-noise.ts";

/** The transform by its definition, double precision. */
function directSpectrum(x: Float32Array): { re: Float64Array; im: Float64Array } {
  const n = x.length;
  const re = new Float64Array(n / 2 + 1);
  const im = new Float64Array(n / 2 + 1);
  for (let k = 0; k <= n / 2; k++)
    for (let i = 0; i < n; i++) {
      const angle = (-2 * Math.PI * ((k * i) % n)) / n;
      re[k]! += x[i]! * Math.cos(angle);
      im[k]! += x[i]! * Math.sin(angle);
    }
  return { re, im };
}

describe("the real FFT, against the definition of the discrete Fourier transform", () => {
  it.each([32, 96, 480, 1024])("agrees in every bin at size %i", async (size) => {
    const fft = (await loadFft())(size);
    const x = lcgNoise(size);
    const spectrum = new Float32Array(size);
    fft.forward(x, spectrum);
    const { re, im } = directSpectrum(x);
    let worst = Math.max(Math.abs(spectrum[0]! - re[0]!), Math.abs(spectrum[1]! - re[size / 2]!));
    for (let k = 1; k < size / 2; k++)
      worst = Math.max(worst, Math.abs(spectrum[2 * k]! - re[k]!), Math.abs(spectrum[2 * k + 1]! - im[k]!));
    // Single precision: 2^-23 of the largest bin, times log2(n).
    expect(worst).toBeLessThan(2e-5 * Math.sqrt(size));
  });

  it.each([32, 4096, 2 ** 22])("gives the signal back at size %i", async (size) => {
    const fft = (await loadFft())(size);
    const x = lcgNoise(size);
    const there = new Float32Array(size);
    const back = new Float32Array(size);
    fft.forward(x, there);
    fft.inverse(there, back);
    let worst = 0;
    for (let i = 0; i < size; i++) worst = Math.max(worst, Math.abs(back[i]! - x[i]!));
    expect(worst).toBeLessThan(2e-6);
  });

  it("correlates at every lag as the definition does, summed over what it keeps", async () => {
    const [size, long, short] = [256, 150, 100];
    const firsts = [lcgNoise(long, 1), lcgNoise(long, 2)];
    const seconds = [lcgNoise(short, 3), lcgNoise(short, 4)];
    const out = new Float32Array(size);
    const bank = (await loadFft())(size).correlations(firsts);
    // Twice: what the first sum left behind does not matter.
    bank.sum([seconds[1]!, seconds[0]!], out);
    bank.sum(seconds, out);
    bank.free();
    for (let lag = 1 - short; lag < long; lag++) {
      let exact = 0;
      for (const [b, first] of firsts.entries())
        for (let i = 0; i < short; i++) exact += (first[i + lag] ?? 0) * seconds[b]![i]!;
      expect(out[(lag + size) % size]).toBeCloseTo(exact, 4);
    }
  });

  it("refuses a size that it cannot do", async () => {
    const make = await loadFft();
    expect(() => make(28)).toThrow(TypeError);
    expect(fftSizeFor(33)).toBe(64);
    expect(fftSizeFor(5)).toBe(32);
  });
});
