import { fc, test as property } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import { FilterChain, highPass, lowPass } from "#science/filters/biquad";
import { lcgNoise } from "#science/signal/lcg-noise";
import { frameFromTimecode, timecodeFromFrame } from "#science/timecode/timecode-label";
import { LtcDecoder, type LtcFrame } from "./ltc-decoder.ts";
import { generateLtc, type LtcWish } from "./ltc-generator.ts";
import { ltcText } from "./ltc-word.ts";

const rates = [
  { rate: { num: 24000, den: 1001 }, dropFrame: false },
  { rate: { num: 24, den: 1 }, dropFrame: false },
  { rate: { num: 25, den: 1 }, dropFrame: false },
  { rate: { num: 30000, den: 1001 }, dropFrame: false },
  { rate: { num: 30000, den: 1001 }, dropFrame: true },
  { rate: { num: 30, den: 1 }, dropFrame: false },
] as const;

function decoded(sound: Float32Array, sampleRateHz: number, blockSamples = 4096): LtcFrame[] {
  const words: LtcFrame[] = [];
  const decoder = new LtcDecoder(sampleRateHz, (word) => words.push(word));
  for (let at = 0; at < sound.length; at += blockSamples)
    decoder.append(sound.subarray(at, at + blockSamples));
  decoder.finish();
  return words;
}

const second = (wish: Partial<LtcWish>): LtcWish => ({
  start: "10:20:30:15",
  rate: { num: 25, den: 1 },
  frames: 25,
  sampleRateHz: 48_000,
  leadSeconds: 0.01,
  tailSeconds: 0.05,
  ...wish,
});

describe("linear timecode as sound, against the biphase rules of SMPTE ST 12-1", () => {
  it("begins 01:02:03:04 at 25 and 48 kHz with the published run lengths", () => {
    // libltc 1.3.2 without edge filter: 24 samples a cell, runs of 24 24 12 12 24 24. Edges half-way between samples.
    const wish = second({ start: "01:02:03:04", frames: 1, leadSeconds: 0.5 / 48_000, riseSeconds: 1e-6 });
    const sound = generateLtc(wish).subarray(1);
    const runs: number[] = [];
    let from = 0;
    for (let i = 1; i < 1920 && runs.length < 6; i++)
      if (sound[i]! > 0 !== sound[i - 1]! > 0) {
        runs.push(i - from);
        from = i;
      }
    expect(runs).toEqual([24, 24, 12, 12, 24, 24]);
  });

  it("ends every word as it began it: each sync word has one polarity", () => {
    const sound = generateLtc(second({ frames: 200, leadSeconds: 0, riseSeconds: 1e-6 }));
    const starts = new Set(Array.from({ length: 200 }, (_, k) => sound[k * 1920 + 2]! > 0));
    expect(starts.size).toBe(1);
  });
});

describe("LtcDecoder", () => {
  it.each(rates)("reads every frame but none else at %o, its edges to a twentieth of a sample", (kind) => {
    const start = kind.dropFrame ? "00:00:59;20" : "00:00:59:20";
    const wish = second({ ...kind, start, frames: 40 });
    const words = decoded(generateLtc(wish), 48_000);
    const first = frameFromTimecode(start, kind.rate, kind.dropFrame);
    expect(words.map((w) => ltcText(w.label))).toEqual(
      Array.from({ length: 40 }, (_, k) => timecodeFromFrame(first + k, kind.rate, kind.dropFrame)),
    );
    const perFrame = (48_000 * kind.rate.den) / kind.rate.num;
    words.forEach((word, k) => {
      expect(Math.abs(word.startSample - 480 - k * perFrame)).toBeLessThan(0.05);
      expect(Math.abs(word.endSample - 480 - (k + 1) * perFrame)).toBeLessThan(0.05);
      expect(word.hasEvenZeros).toBe(true);
    });
  });

  property.prop(
    [
      fc.record({
        kind: fc.constantFrom(...rates),
        number: fc.integer({ min: 0, max: 2_000_000 }),
        userBits: fc.integer({ min: 0, max: 0xffffffff }),
        sampleRateHz: fc.constantFrom(32_000, 44_100, 48_000, 96_000),
        speed: fc.double({ min: 0.5, max: 2, noNaN: true }),
        reverse: fc.boolean(),
        inverted: fc.boolean(),
        leadSeconds: fc.double({ min: 0.001, max: 0.003, noNaN: true }),
        level: fc.double({ min: 0.01, max: 0.9, noNaN: true }),
        offset: fc.double({ min: -0.09, max: 0.09, noNaN: true }),
        blockSamples: fc.integer({ min: 100, max: 5000 }),
      }),
    ],
    { numRuns: 60, seed: 4 },
  )("reads any rate, speed, direction, level and constant under it", (c) => {
    const { rate, dropFrame } = c.kind;
    const start = timecodeFromFrame(c.number, rate, dropFrame);
    const wish = second({ ...c, rate, dropFrame, start, frames: 12, tailSeconds: 0.01 });
    const sound = generateLtc(wish).map((v) => v + c.offset);
    const words = decoded(sound, c.sampleRateHz, c.blockSamples);
    const expected = Array.from({ length: 12 }, (_, k) => timecodeFromFrame(c.number + k, rate, dropFrame));
    if (c.reverse) expected.reverse();
    // The constant begins with the sound: the first word may be lost while its middle is found.
    const texts = words.map((w) => ltcText(w.label));
    expect(texts).toEqual(expected.slice(12 - texts.length));
    expect(texts.length).toBeGreaterThanOrEqual(11);
    const perFrame = (c.sampleRateHz * rate.den) / (rate.num * c.speed);
    words.forEach((word, i) => {
      const k = 12 - words.length + i;
      const begins = c.leadSeconds * c.sampleRateHz + (c.reverse ? k + 1 : k) * perFrame;
      expect(word.reversed).toBe(c.reverse);
      expect(word.label.userBits).toBe(c.userBits);
      expect(Math.abs(word.startSample - begins)).toBeLessThan(0.25);
    });
  });

  it.each([1, 2, 3])(
    "reads at least 99 of 100 frames under noise 20 dB down, edges to 0.3 samples (seed %i)",
    (seed) => {
      const sound = generateLtc(second({ frames: 100 }));
      const noise = lcgNoise(sound.length, seed);
      const rms = Math.sqrt(noise.reduce((s, v) => s + v * v, 0) / noise.length);
      const noisy = sound.map((v, i) => v + (0.05 / rms) * noise[i]!);
      const words = decoded(noisy, 48_000);
      expect(words.length).toBeGreaterThanOrEqual(99);
      const first = frameFromTimecode("10:20:30:15", { num: 25, den: 1 }, false);
      for (const word of words) {
        const k = Math.round((word.startSample - 480) / 1920);
        expect(ltcText(word.label)).toBe(timecodeFromFrame(first + k, { num: 25, den: 1 }, false));
        expect(Math.abs(word.startSample - 480 - k * 1920)).toBeLessThan(0.3);
      }
    },
  );

  it("reads what a telephone-like band of 200 to 3800 Hz leaves, and through a fade of 30 dB", () => {
    const sound = generateLtc(second({ frames: 100 }));
    const narrow = new FilterChain([highPass(200, 48_000), lowPass(3800, 48_000), lowPass(3800, 48_000)]).run(
      sound,
    );
    expect(decoded(narrow, 48_000).length).toBeGreaterThanOrEqual(98);
    const faded = sound.map((v, i) => v * 10 ** ((-30 * i) / sound.length / 20));
    expect(decoded(faded, 48_000)).toHaveLength(100);
    // A drop of 20 dB at once costs two frames at most.
    const dropped = sound.map((v, i) => (i < sound.length / 2 ? v : v / 10));
    expect(decoded(dropped, 48_000).length).toBeGreaterThanOrEqual(98);
  });

  it("reads sound at 16 kHz", () => {
    const words = decoded(
      generateLtc(second({ sampleRateHz: 16_000, riseSeconds: 1e-4, frames: 50 })),
      16_000,
    );
    expect(words).toHaveLength(50);
    for (const [k, word] of words.entries())
      expect(Math.abs(word.startSample - 160 - k * 640)).toBeLessThan(0.1);
  });

  it("hears no timecode in noise, hum or silence", () => {
    const hum = Float32Array.from({ length: 96_000 }, (_, i) => Math.sin((2 * Math.PI * 1200 * i) / 48_000));
    for (const sound of [lcgNoise(480_000, 9), hum, new Float32Array(96_000)])
      expect(decoded(sound, 48_000)).toEqual([]);
  });

  it("reads at least fifty times faster than the sound lasts", () => {
    const sound = generateLtc(second({ frames: 500 }));
    const times = [1, 2, 3, 4, 5].map(() => {
      const from = performance.now();
      decoded(sound, 48_000);
      return sound.length / 48 / (performance.now() - from);
    });
    // Far more alone on one core; the machine may be busy.
    expect(Math.max(...times)).toBeGreaterThan(50);
  });
});
