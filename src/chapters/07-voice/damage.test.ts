import { describe, expect, it } from "vitest";
import { lcgNoise } from "#science/signal/lcg-noise";
import { voiceLike } from "../../../test/helpers/voice-like.ts";
import { DamageWatch, joined } from "./damage.ts";

const rate = 48_000;
const watched = (samples: Float32Array, block = samples.length): DamageWatch => {
  const watch = new DamageWatch(rate);
  for (let at = 0; at < samples.length; at += block) watch.push(samples.subarray(at, at + block));
  return watch;
};
const sine = (hz: number, amplitude: number): Float32Array =>
  Float32Array.from({ length: rate }, (_, n) => amplitude * Math.sin((2 * Math.PI * hz * n) / rate));

describe("DamageWatch", () => {
  it("finds no damage in sines of any pitch at full height, nor in a voice", () => {
    for (const hz of [20, 50, 120, 997, 5000]) expect(watched(sine(hz, 0.99)).clipped).toEqual([]);
    expect(watched(voiceLike(5)).clipped).toEqual([]);
  });

  it("finds tops cut at full scale, where they are", () => {
    const x = sine(300, 0.9).map((v, n) => (n > 20_000 && n < 28_000 ? Math.max(-1, Math.min(1, v * 3)) : v));
    const { clipped } = watched(x, 1000);
    expect(clipped[0]!.start * rate).toBeGreaterThan(19_900);
    expect(clipped.at(-1)!.end * rate).toBeLessThan(28_100);
  });

  it("finds flat tops below full scale: an overload before the converter", () => {
    const x = sine(400, 1).map((v) => 0.5 * Math.max(-0.7, Math.min(0.7, v)));
    expect(watched(x).clipped.length).toBeGreaterThan(0);
  });

  it("finds holes in sound, but not silence that is written as zeros", () => {
    const x = lcgNoise(rate).map((v, n) => (n >= 10_000 && n < 11_000 ? 0 : 0.1 * v));
    expect(watched(x, 777).holes).toEqual([{ start: 10_000 / rate, end: 11_000 / rate }]);
    const gated = lcgNoise(rate).map((v, n) => (n % 4800 < 2400 ? 0 : 0.1 * v));
    expect(watched(gated).holes).toEqual([]);
  });
});

describe("joined", () => {
  it("joins what is near, widens the rest, keeps order", () => {
    const list = [
      { start: 5, end: 6 },
      { start: 1, end: 2 },
      { start: 2.3, end: 3 },
    ];
    expect(joined(list, 0.5)).toEqual([
      { start: 1, end: 3 },
      { start: 5, end: 6 },
    ]);
    expect(joined(list.slice(0, 1), 0, 0.25)).toEqual([{ start: 4.75, end: 6.25 }]);
  });
});
