import { describe, expect, it } from "vitest";
import { Mixer } from "./mix.ts";

const rate = 48_000;
const sine = Float32Array.from(
  { length: 2 * rate },
  (_, n) => 0.3 * Math.sin((2 * Math.PI * 440 * n) / rate),
);
const plain = { gainDb: 0, lowShelfDb: 0, highShelfDb: 0 };

function mixed(match: typeof plain, boom: Float32Array, block: number): Float32Array {
  const mixer = new Mixer(
    [
      { start: 0, end: 0.8, source: "lav", why: "" },
      { start: 0.8, end: 1.3, source: "boom", why: "" },
      { start: 1.3, end: 2, source: "lav", why: "" },
    ],
    match,
  );
  const parts: Float32Array[] = [];
  for (let at = 0; at < sine.length; at += block) {
    parts.push(mixer.push(sine.slice(at, at + block), boom.slice(at, at + block)));
  }
  return Float32Array.from(parts.flatMap((part) => [...part]));
}

describe("Mixer", () => {
  it("changes between two microphones that hear alike without a trace", () => {
    const out = mixed(plain, sine, 4000);
    const still = new Mixer([{ start: 0, end: 2, source: "lav", why: "" }], plain).push(sine, sine);
    expect(Math.max(...out.map((v, i) => Math.abs(v - still[i]!)))).toBeLessThan(1e-6);
  });

  it("lifts the boom to the lav and fades over the change, never a step", () => {
    const soft = sine.map((v) => v / 4);
    const out = mixed({ ...plain, gainDb: 20 * Math.log10(4) }, soft, 1234);
    const biggestStep = out.reduce((most, v, i) => Math.max(most, Math.abs(v - (out[i - 1] ?? v))), 0);
    // The sine's own steepest step is 0.3 × 2π × 440 / 48 000 = 0.0173; the high-pass adds a little as it settles.
    expect(biggestStep).toBeLessThan(0.0179);
  });

  it("mixes both as one voice where both are asked for: half of each", () => {
    const soft = sine.map((v) => v / 3);
    const both = new Mixer([{ start: 0, end: 2, source: "both", why: "" }], plain).push(sine, soft);
    const alone = new Mixer([{ start: 0, end: 2, source: "lav", why: "" }], plain).push(sine, soft);
    expect(Math.max(...both.map((v, i) => Math.abs(v - (alone[i]! * 2) / 3)))).toBeLessThan(1e-6);
  });

  it("answers the same however the blocks are cut", () => {
    const other = sine.map((v) => -0.5 * v);
    expect([...mixed(plain, other, 500)]).toEqual([...mixed(plain, other, 96_000)]);
  });
});
