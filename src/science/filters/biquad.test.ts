import { describe, expect, it } from "vitest";
import { FilterChain, gainDbAt, highPass, highShelf, lowPass, lowShelf } from "./biquad.ts";

describe("biquad sections", () => {
  // Butterworth, second order: |H|² = 1 / (1 + (fc/f)⁴), so −3.0103 dB at the corner (from the definition).
  it("a high-pass and a low-pass stand 3.01 dB down at their corner", () => {
    expect(gainDbAt(highPass(80, 48_000), 80, 48_000)).toBeCloseTo(-3.0103, 3);
    expect(gainDbAt(lowPass(1000, 48_000), 1000, 48_000)).toBeCloseTo(-3.0103, 3);
  });

  it("a shelf gives its whole gain on one side, none on the other, half at its corner", () => {
    const low = lowShelf(200, 48_000, 6);
    expect([2, 200, 15_000].map((hz) => Math.round(gainDbAt(low, hz, 48_000) * 10) / 10)).toEqual([6, 3, 0]);
    const high = highShelf(4000, 48_000, -5);
    expect(gainDbAt(high, 23_500, 48_000)).toBeCloseTo(-5, 1);
    expect(gainDbAt(high, 4000, 48_000)).toBeCloseTo(-2.5, 1);
  });

  // ITU-R BS.1770-5 Annex 1, Tables 1 and 2; the gain printed for 997 Hz is the +0.691 dB that its constant removes.
  it("runs the published weighting: 0.691 dB at 997 Hz", () => {
    const shelf = {
      b0: 1.53512485958697,
      b1: -2.69169618940638,
      b2: 1.19839281085285,
      a1: -1.69065929318241,
      a2: 0.73248077421585,
    };
    const high = { b0: 1, b1: -2, b2: 1, a1: -1.99004745483398, a2: 0.99007225036621 };
    expect(gainDbAt(shelf, 997, 48_000) + gainDbAt(high, 997, 48_000)).toBeCloseTo(0.691, 3);
    const chain = new FilterChain([shelf, high]);
    let power = 0;
    for (let block = 0; block < 10; block++) {
      const x = Float32Array.from({ length: 4800 }, (_, n) =>
        Math.sin((2 * Math.PI * 997 * (block * 4800 + n)) / 48_000),
      );
      for (const y of chain.run(x)) if (block >= 5) power += y * y;
    }
    expect(10 * Math.log10((2 * power) / 24_000)).toBeCloseTo(0.691, 2);
  });
});
