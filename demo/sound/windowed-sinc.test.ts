import { describe, expect, it } from "vitest";
import { atRate, sincTable, valueAt } from "./windowed-sinc.ts";

const rate = 48_000;
const sine = (hz: number, seconds: number): number => Math.sin(2 * Math.PI * hz * seconds);

describe("valueAt", () => {
  const table = sincTable(0.985, 32, 1024, 9);
  it.each([120, 997, 6_000, 15_000])("reads a sine of %i Hz between its samples to -80 dB", (hz) => {
    const samples = Float32Array.from({ length: 2_000 }, (_, n) => sine(hz, n / rate));
    let worst = 0;
    for (let k = 0; k < 500; k++) {
      const position = 500 + k * 1.000_023_7 + 0.317;
      worst = Math.max(worst, Math.abs(valueAt(table, samples, 0, position) - sine(hz, position / rate)));
    }
    expect(worst).toBeLessThan(1e-4);
  });
  it("gives a sample back at its own place", () => {
    const samples = Float32Array.from({ length: 200 }, (_, n) => sine(1_000, n / rate));
    expect(valueAt(table, samples, 0, 100)).toBeCloseTo(samples[100]!, 4);
  });
  it("takes what lies outside for silence", () => {
    expect(valueAt(table, new Float32Array(10), 0, -500)).toBe(0);
  });
});

it("keeps a tone's pitch and time when the rate is changed", () => {
  const from = Float32Array.from({ length: 22_050 }, (_, n) => sine(440, n / 22_050));
  const to = atRate(from, 22_050, rate);
  expect(to.length).toBe(rate);
  for (let n = 10_000; n < 10_200; n++) expect(Math.abs(to[n]! - sine(440, n / rate))).toBeLessThan(2e-4);
});
