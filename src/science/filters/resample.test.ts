import { describe, expect, it } from "vitest";
import { Resampler, resample } from "./resample.ts";

const rate = 48_000;
const sine = (hz: number, length: number, delaySamples = 0, step = 1): Float32Array =>
  Float32Array.from({ length }, (_, n) => Math.sin((2 * Math.PI * hz * (n * step + delaySamples)) / rate));

function read(samples: Float32Array, start: number, step: number, blockSamples: number): Float32Array {
  const reader = new Resampler(start, step);
  const parts: Float32Array[] = [];
  for (let at = 0; at < samples.length; at += blockSamples) {
    parts.push(reader.push(samples.subarray(at, at + blockSamples)));
  }
  parts.push(reader.finish());
  return Float32Array.from(parts.flatMap((part) => [...part]));
}

function worstBetween(a: Float32Array, b: Float32Array, edge: number): number {
  let worst = 0;
  for (let i = edge; i < Math.min(a.length, b.length) - edge; i++)
    worst = Math.max(worst, Math.abs(a[i]! - b[i]!));
  return worst;
}

describe("Resampler", () => {
  it("copies samples at whole places", () => {
    const x = sine(997, 5000);
    expect([...read(x, 0, 1, 333)]).toEqual([...x]);
    expect([...read(x, 3, 1, 700)]).toEqual([...x.slice(3)]);
    expect([...read(x, -2, 1, 700)]).toEqual([0, 0, ...x]);
  });

  // The sampling theorem: a sine below half the rate is known between its samples.
  it.each([100, 997, 8000, 16_000])("reads a %i Hz sine 0.37 samples late within -80 dB", (hz) => {
    expect(worstBetween(read(sine(hz, 6000), 0.37, 1, 512), sine(hz, 6000, 0.37), 80)).toBeLessThan(1e-4);
  });

  it("follows a clock that runs 40 ppm off, whatever the block length", () => {
    const step = 1 + 40e-6;
    const fast = read(sine(3000, 48_000), -7.25, step, 1000);
    expect(worstBetween(fast, sine(3000, 48_000, -7.25, step), 100)).toBeLessThan(1e-4);
    expect([...read(sine(3000, 9000), -7.25, step, 64)]).toEqual([
      ...read(sine(3000, 9000), -7.25, step, 9000),
    ]);
  });

  it("takes away what a lower rate cannot hold", () => {
    const low = resample(sine(12_000, 48_000), 48_000, 16_000);
    expect(low.length).toBe(16_000);
    expect(low.subarray(100, -100).reduce((most, x) => Math.max(most, Math.abs(x)), 0)).toBeLessThan(1e-3);
  });
});
