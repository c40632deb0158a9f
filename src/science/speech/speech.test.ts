import { fc, test } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import { cepstra } from "./cepstra.ts";
import { openingDistance } from "./opening-distance.ts";
import { decibels, PowerMeter, quantileOf } from "./power-meter.ts";
import { speechStretches, stretchesWithout } from "./speech-stretches.ts";
import { splitTalkers } from "./two-talkers.ts";

const probability = (pattern: string): Float32Array =>
  Float32Array.from(pattern, (c) => (c === "#" ? 0.9 : c === "-" ? 0.4 : 0.05));

describe("stretches of speech", () => {
  it("opens above one threshold and closes below a lower one", () => {
    expect(speechStretches(probability("..--##--##......."), 0.1)).toEqual([
      { start: expect.closeTo(0.4, 9), end: expect.closeTo(1, 9) },
    ]);
  });
  it("bridges a gap shorter than asked, and parts at a longer one", () => {
    const windows = probability("####..####....####");
    expect(speechStretches(windows, 0.1, { minGapSeconds: 0.3 })).toHaveLength(2);
    expect(speechStretches(windows, 0.1, { minGapSeconds: 0.1 })).toHaveLength(3);
  });
  it("takes holes out of ranges and forgets crumbs", () => {
    expect(
      stretchesWithout(
        [{ start: 0, end: 10 }],
        [
          { start: 0.1, end: 4 },
          { start: 6, end: 7 },
        ],
        0.2,
      ),
    ).toEqual([
      { start: 4, end: 6 },
      { start: 7, end: 10 },
    ]);
  });
});

describe("PowerMeter", () => {
  test.prop([fc.array(fc.integer({ min: 1, max: 700 }), { minLength: 1, maxLength: 20 })])(
    "does not mind how the samples are cut into blocks",
    (lengths) => {
      const total = lengths.reduce((a, b) => a + b, 0);
      const samples = Float32Array.from({ length: total }, (_, i) => Math.sin(i * 0.7));
      const whole = new PowerMeter(160);
      whole.push(samples);
      const parts = new PowerMeter(160);
      let at = 0;
      for (const length of lengths) parts.push(samples.subarray(at, (at += length)));
      expect(parts.powers()).toEqual(whole.powers());
    },
  );
  it("reads a full-scale sine as -3.01 dB, half its peak power by definition", () => {
    const meter = new PowerMeter(1600);
    meter.push(Float32Array.from({ length: 1600 }, (_, i) => Math.sin((2 * Math.PI * 10 * i) / 1600)));
    expect(decibels(meter.powers()[0]!)).toBeCloseTo(-3.01, 2);
  });
  it("finds the median", () => expect(quantileOf([5, 1, 9], 0.5)).toBe(5));
});

/** A vowel-like sound: a pulse train through three resonances. */
function vowel(formantsHz: readonly number[], seconds: number, pitchHz = 120): Float32Array {
  const rate = 16_000;
  const out = new Float32Array(Math.round(seconds * rate));
  for (let i = 0, next = 0; i < out.length; i++)
    if (i >= next) {
      out[i] = 1;
      next += rate / pitchHz;
    }
  for (const f of formantsHz) {
    const r = Math.exp((-Math.PI * 80) / rate);
    const [a1, a2] = [2 * r * Math.cos((2 * Math.PI * f) / rate), -r * r];
    let [y1, y2] = [0, 0];
    for (let i = 0; i < out.length; i++) {
      const y = out[i]! * (1 - r) + a1 * y1 + a2 * y2;
      [y2, y1] = [y1, y];
      out[i] = y;
    }
  }
  return out;
}
const words = (...sounds: Float32Array[]): Float32Array => {
  const out = new Float32Array(sounds.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const sound of sounds) {
    out.set(sound, at);
    at += sound.length;
  }
  return out;
};
const aa = [700, 1200, 2600];
const ee = [300, 2300, 3000];
const oo = [350, 800, 2300];

describe("openings, against the shape of vowels", () => {
  it("finds the same sounds near, also slower and softer, and other sounds far", () => {
    const first = cepstra(words(vowel(aa, 0.25), vowel(ee, 0.2)));
    const again = cepstra(words(vowel(aa, 0.3), vowel(ee, 0.22), vowel(oo, 0.5)).map((x) => x * 0.4));
    const other = cepstra(words(vowel(oo, 0.3), vowel(aa, 0.22), vowel(ee, 0.5)));
    expect(openingDistance(first, again)).toBeLessThan(0.5 * openingDistance(first, other));
  });
  it("is no distance from itself and infinitely far from nothing", () => {
    const frames = cepstra(vowel(aa, 0.3));
    expect(openingDistance(frames, frames)).toBe(0);
    expect(openingDistance(frames, [])).toBe(Number.POSITIVE_INFINITY);
  });
  it("gives one frame of twelve for 400 samples and none for 399", () => {
    expect(cepstra(new Float32Array(400))[0]).toHaveLength(12);
    expect(cepstra(new Float32Array(399))).toHaveLength(0);
  });
});

describe("two talkers", () => {
  const window = 0.032;
  /** Levels wander as a voice does: by a slow swing and a quick one. */
  const level = (ranges: readonly [number, number, number][], length: number): Float32Array =>
    Float32Array.from({ length: Math.round(length / window) }, (_, i) => {
      const t = i * window;
      const range = ranges.find(([start, end]) => t >= start && t < end);
      return range ? range[2] + 4 * Math.sin(t * 9) + 2 * Math.sin(t * 31) : -60;
    });

  it("tells them apart where one is well below the other", () => {
    const ranges: [number, number, number][] = [
      [1, 3, 5],
      [4, 9, 30],
      [10, 12, 6],
      [13, 20, 28],
    ];
    const split = splitTalkers(
      level(ranges, 21),
      window,
      ranges.map(([start, end]) => ({ start, end })),
    );
    expect(split.twoTalkers).toBe(true);
    expect(split.separationDb).toBeGreaterThan(20);
    expect(split.stretches.map(({ who }) => who)).toEqual(["interviewer", "sitter", "interviewer", "sitter"]);
  });

  it("finds the change inside a stretch where one follows the other at once", () => {
    const ranges: [number, number, number][] = [
      [1, 3, 5],
      [4, 9, 30],
      [10, 12, 6],
      [12, 18, 29],
    ];
    const split = splitTalkers(level(ranges, 20), window, [
      { start: 1, end: 3 },
      { start: 4, end: 9 },
      { start: 10, end: 18 },
    ]);
    expect(split.stretches.map(({ who }) => who)).toEqual(["interviewer", "sitter", "interviewer", "sitter"]);
    expect(split.stretches[2]!.end).toBeCloseTo(12, 0);
    expect(split.stretches[3]!.start).toBe(split.stretches[2]!.end);
  });

  it("refuses to tell one talker into two", () => {
    const ranges: [number, number, number][] = [
      [1, 3, 27],
      [4, 9, 30],
      [10, 12, 25],
      [13, 18, 29],
    ];
    const split = splitTalkers(
      level(ranges, 20),
      window,
      ranges.map(([start, end]) => ({ start, end })),
    );
    expect(split).toMatchObject({ twoTalkers: false, separationDb: 0 });
    expect(split.stretches.every(({ who }) => who === "sitter")).toBe(true);
  });

  it("covers every stretch it was given, whoever is heard", () => {
    const given = [
      { start: 1, end: 3 },
      { start: 4, end: 9 },
      { start: 10, end: 18 },
    ];
    const ranges: [number, number, number][] = [
      [1, 3, 5],
      [4, 9, 30],
      [10, 14, 6],
      [14, 18, 29],
    ];
    const { stretches } = splitTalkers(level(ranges, 20), window, given);
    for (const { start, end } of given) {
      const inside = stretches.filter((s) => s.start >= start - 1e-9 && s.end <= end + 1e-9);
      expect(inside.reduce((sum, s) => sum + s.end - s.start, 0)).toBeCloseTo(end - start, 6);
    }
  });
});
