import { fc, test } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import { assembleSound, type SoundPiece } from "./assemble-sound.ts";
import { roomToneAt } from "./room-tone.ts";

/** A reader over an array, in blocks of a size; says nothing of samples that the array lacks. */
function reader(track: Float32Array, blockSamples = 1000) {
  return async function* (first: number, end: number) {
    for (let at = Math.max(0, first); at < Math.min(end, track.length); at += blockSamples)
      yield { first: at, samples: track.slice(at, Math.min(end, track.length, at + blockSamples)) };
  };
}
async function assembled(
  pieces: SoundPiece[],
  track: Float32Array,
  tone: Float32Array | null = null,
  block = 1000,
): Promise<Float32Array> {
  const out = new Float32Array(pieces.reduce((sum, { length }) => sum + length, 0) + 1);
  let at = 0;
  for await (const samples of assembleSound(pieces, reader(track, block), tone)) {
    out.set(samples, at);
    at += samples.length;
  }
  return out.slice(0, at);
}
const power = (x: Float32Array, from: number, to: number): number =>
  x.subarray(from, to).reduce((sum, v) => sum + v * v, 0) / (to - from);

describe("the sound of the cut", () => {
  it("is the track itself away from the joins", async () => {
    const track = Float32Array.from({ length: 30_000 }, (_, i) => i / 30_000);
    const out = await assembled(
      [
        { at: 0, from: 2000, length: 8000 },
        { at: 8000, from: 15_000, length: 8000 },
      ],
      track,
    );
    expect(out).toHaveLength(16_000);
    for (const n of [1000, 4000, 7000]) expect(out[n]).toBe(track[2000 + n]);
    for (const n of [9000, 12_000, 14_900]) expect(out[n]).toBe(track[7000 + n]);
  });

  it("keeps the power of noise through a join: equal-power curves", async () => {
    let seed = 1;
    const noise = Float32Array.from({ length: 200_000 }, () => {
      seed = (seed * 1_103_515_245 + 12_345) % 2 ** 31;
      return seed / 2 ** 30 - 1;
    });
    const out = await assembled(
      [
        { at: 0, from: 5000, length: 60_000 },
        { at: 60_000, from: 120_000, length: 60_000 },
      ],
      noise,
    );
    expect(power(out, 59_280, 60_720) / power(out, 10_000, 50_000)).toBeCloseTo(1, 0);
    expect(10 * Math.abs(Math.log10(power(out, 59_280, 60_720) / power(out, 10_000, 50_000)))).toBeLessThan(
      0.5,
    );
  });

  it("does not step at a join from one steady level to another", async () => {
    const track = Float32Array.from({ length: 40_000 }, (_, i) => (i < 20_000 ? 0.5 : -0.5));
    const out = await assembled(
      [
        { at: 0, from: 2000, length: 9000 },
        { at: 9000, from: 25_000, length: 9000 },
      ],
      track,
    );
    const steps = out.slice(1).map((x, n) => Math.abs(x - out[n]!));
    expect(Math.max(...steps)).toBeLessThan(0.01);
  });

  it("lays room tone where the track has no samples, and silence where there is no tone", async () => {
    const track = new Float32Array(5000).fill(0.5);
    const pieces = [{ at: 0, from: 3000, length: 6000 }];
    const toned = await assembled(pieces, track, new Float32Array(1000).fill(0.01));
    expect(toned[1500]).toBe(0.5);
    expect(toned[4000]).toBeCloseTo(0.01, 6);
    expect((await assembled(pieces, track))[4000]).toBe(0);
  });

  it("rises from silence and falls to it", async () => {
    const out = await assembled([{ at: 0, from: 0, length: 9600 }], new Float32Array(9600).fill(1));
    expect(Math.abs(out[0]!)).toBeLessThan(0.01);
    expect(Math.abs(out.at(-1)!)).toBeLessThan(0.01);
    expect(out[4800]).toBe(1);
  });

  const cuts = fc.array(fc.record({ skip: fc.nat(3000), length: fc.integer({ min: 20, max: 5000 }) }), {
    minLength: 1,
    maxLength: 8,
  });
  test.prop([cuts, fc.integer({ min: 37, max: 2000 })], { numRuns: 60 })(
    "is as long as its pieces, never louder than the loudest sample of two, whatever the blocks",
    async (parts, block) => {
      let [at, from] = [0, 0];
      const pieces = parts.map(({ skip, length }) => {
        from += skip;
        const piece = { at, from, length };
        at += length;
        from += length;
        return piece;
      });
      const track = Float32Array.from({ length: from + 800 }, (_, i) => Math.sin(i * 0.1));
      const out = await assembled(pieces, track, null, block);
      expect(out).toHaveLength(at);
      expect(Math.max(...out.map(Math.abs))).toBeLessThan(Math.SQRT2 + 1e-6);
      const whole = await assembled(pieces, track, null, 999_999);
      expect(out.findIndex((x, n) => x !== whole[n])).toBe(-1);
    },
  );
});

it("room tone goes forwards and backwards in turn", () => {
  const tone = Float32Array.from([1, 2, 3]);
  expect(Array.from({ length: 7 }, (_, i) => roomToneAt(tone, i))).toEqual([1, 2, 3, 2, 1, 2, 3]);
});
