import { describe, expect, it } from "vitest";
import { sampleAt } from "./sample-at.ts";

describe("reading a signal between its samples", () => {
  it.each([
    [0.01, 2e-4],
    [0.1, 2e-4],
    [0.25, 2e-4],
    [0.4, 3.2e-3],
  ])("reads a sine of %f cycles a sample within %f, drifting", (cycles, most) => {
    const sine = (t: number) => Math.sin(2 * Math.PI * cycles * t + 0.3);
    const signal = Float32Array.from({ length: 2000 }, (_, i) => sine(i));
    const out = new Float32Array(1500);
    sampleAt(signal, 200.37, 1.0001, out);
    let worst = 0;
    for (let n = 0; n < out.length; n++)
      worst = Math.max(worst, Math.abs(out[n]! - sine(200.37 + n * 1.0001)));
    expect(worst).toBeLessThan(most);
  });

  it("gives the samples themselves at whole positions, and silence outside", () => {
    const out = new Float32Array(4);
    sampleAt(Float32Array.of(1, 2, 3), 0, 1, out);
    expect([...out].map((v) => Math.round(v * 1e6) / 1e6)).toEqual([1, 2, 3, 0]);
    sampleAt(Float32Array.of(1, 2, 3), -500, 1, out);
    expect([...out]).toEqual([0, 0, 0, 0]);
  });
});
