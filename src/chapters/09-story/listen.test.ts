import { describe, expect, it } from "vitest";
import { partClaps, talkerMeasure } from "./listen.ts";

describe("claps among speech", () => {
  const words = [
    { start: 9.5, end: 9.8 },
    { start: 12, end: 16 },
    { start: 16.2, end: 16.5 },
  ];
  it("takes a short ring that stands alone for a clap, not for a word", () => {
    const { stretches, claps } = partClaps(words, [9.58]);
    expect(stretches).toEqual(words.slice(1));
    expect(claps).toEqual([9.58]);
  });
  it("takes an onset within a phrase for a consonant", () => {
    expect(partClaps(words, [9.58, 13.6, 16.3]).claps).toEqual([9.58]);
    expect(partClaps(words, [16.3]).stretches).toEqual(words);
  });
  it("hears a clap that no detector took for speech", () => {
    expect(partClaps(words.slice(1), [9.58]).claps).toEqual([9.58]);
  });
});

describe("the measure that tells two talkers apart", () => {
  const speech = [{ start: 0, end: 6.4 }];
  /** 200 windows of 32 ms: the wearer first, then somebody across the room, over a quiet room. */
  const near = Float32Array.from({ length: 250 }, (_, i) => (i < 100 ? 1e-2 : i < 200 ? 1e-5 : 1e-8));
  const free = Float32Array.from({ length: 250 }, (_, i) => (i < 100 ? 1e-3 : i < 200 ? 5e-4 : 1e-8));
  it("is level plus how much louder the worn microphone hears it", () => {
    const both = talkerMeasure(near, free, speech);
    // 30 dB in level, and 10 dB against -17 dB between the two microphones.
    expect(both[50]! - both[150]!).toBeCloseTo(30 + 27, 0);
    expect(talkerMeasure(near, null, speech)[50]! - talkerMeasure(near, null, speech)[150]!).toBeCloseTo(
      30,
      0,
    );
  });
  it("does without the other microphone where that was not running", () => {
    const gone = free.map((x, i) => (i < 60 ? Number.NaN : x));
    expect(talkerMeasure(near, gone, speech)).toEqual(talkerMeasure(near, null, speech));
  });
});
