import { fc, test } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import { TruePeakLimiter } from "./limiter.ts";
import { truePeakDbtp } from "./true-peak.ts";

const rate = 48_000;

/** One second of a sine at rate / divisor with 0.1 s fades, so that switching it on adds no peak of its own. */
function faded(divisor: number, amplitude: number, phaseDegrees: number): Float32Array {
  const fade = 0.1 * rate;
  return Float32Array.from({ length: rate }, (_, n) => {
    const window = Math.min(1, n / fade, (rate - 1 - n) / fade);
    return window * amplitude * Math.sin((2 * Math.PI * n) / divisor + (phaseDegrees * Math.PI) / 180);
  });
}

describe("truePeakDbtp, against EBU Tech 3341 (2023) minimum requirements, signals 15 to 19", () => {
  // Tolerance as printed: +0.2 / −0.4 dB.
  it.each([
    [15, 4, 0.5, 0, -6.0],
    [16, 4, 0.5, 45, -6.0],
    [17, 6, 0.5, 60, -6.0],
    [18, 8, 0.5, 67.5, -6.0],
    [19, 4, 1.41, 45, 3.0],
  ])("signal %i reads within tolerance", (_, divisor, amplitude, phase, expected) => {
    const read = truePeakDbtp(faded(divisor, amplitude, phase));
    expect(read).toBeLessThan(expected + 0.2);
    expect(read).toBeGreaterThan(expected - 0.4);
  });

  it("reads silence as no level at all", () => {
    expect(truePeakDbtp(new Float32Array(500))).toBe(Number.NEGATIVE_INFINITY);
  });
});

function limit(samples: Float32Array, ceilingDbtp: number, block: number): Float32Array {
  const limiter = new TruePeakLimiter(ceilingDbtp);
  const parts: Float32Array[] = [];
  for (let at = 0; at < samples.length; at += block)
    parts.push(limiter.push(samples.subarray(at, at + block)));
  parts.push(limiter.finish());
  return Float32Array.from(parts.flatMap((part) => [...part]));
}

describe("TruePeakLimiter", () => {
  it.each([
    [4, 1.41, 45],
    [6, 1.2, 60],
    [8, 1, 67.5],
  ])("holds a faded sine at rate/%i of amplitude %d under −1 dBTP", (divisor, amplitude, phase) => {
    expect(truePeakDbtp(limit(faded(divisor, amplitude, phase), -1, 1000))).toBeLessThanOrEqual(-0.99);
  });

  test.prop([fc.integer({ min: 1, max: 2 ** 31 }), fc.double({ min: 1, max: 4, noNaN: true })], {
    numRuns: 12,
  })("holds bursts of noise, whatever they are", (seed, gain) => {
    let s = seed;
    const x = Float32Array.from({ length: 9000 }, (_, n) => {
      s = (Math.imul(1664525, s) + 1013904223) >>> 0;
      return gain * (s / 2 ** 31 - 1) * (n % 3000 < 200 ? 1 : 0.05);
    });
    expect(truePeakDbtp(limit(x, -1, 777))).toBeLessThanOrEqual(-0.9);
  });

  it("leaves quiet sound as it is, sample for sample", () => {
    const x = faded(40, 0.5, 0);
    expect([...limit(x, -1, 999)]).toEqual([...x]);
  });

  it("answers the same however the blocks are cut", () => {
    const x = faded(60, 1.3, 10).subarray(0, 20_000);
    const cut = limit(x, -1, 50);
    expect(cut.length).toBe(x.length);
    expect([...cut]).toEqual([...limit(x, -1, 20_000)]);
  });
});
