import { describe, expect, it } from "vitest";
import { curveOfTransferTag } from "./h273-transfer.ts";
import { driftSpan, whiteDrift } from "./white-drift.ts";

const curve = curveOfTransferTag(1)!;

/** Forty looks, eight seconds apart: a wall of many tones, a hand that moves, and light whose white is `white(k)`. */
function looks(white: (k: number) => readonly [number, number, number]) {
  let state = 5;
  const chance = (): number => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
  const wall = Array.from({ length: 144 }, () => [
    0.1 + 0.4 * chance(),
    0.1 + 0.4 * chance(),
    0.1 + 0.4 * chance(),
  ]);
  return Array.from({ length: 40 }, (_, k) => ({
    at: 8 * k,
    codes: wall.flatMap((light, p) => {
      const moves = p % 5 === 0 ? 0.5 + chance() : 1;
      return light.map((v, c) => curve.toCode(v * moves * white(k)[c]! * (1 + 0.01 * (chance() - 0.5))));
    }),
  }));
}

describe("whiteDrift", () => {
  it("follows a cloud over the window to a hundredth of a stop, whatever moves in the picture", () => {
    // The daylight's share falls: red up by 0.15 stop against green at the end, blue down by 0.25.
    const samples = whiteDrift(
      looks((k) => [2 ** ((0.15 * k) / 39), 1, 2 ** ((-0.25 * k) / 39)]),
      curve,
    );
    expect(samples).toHaveLength(40);
    const span = driftSpan(samples);
    expect(Math.abs(span.redStops - 0.15)).toBeLessThan(0.02);
    expect(Math.abs(span.blueStops - 0.25)).toBeLessThan(0.03);
    expect(span.lightStops).toBeLessThan(0.02);
    expect(samples[39]!.redStops - samples[0]!.redStops).toBeGreaterThan(0.12);
  });

  it("says nothing of steady light, nor of a look that somebody walked through", () => {
    const steady = looks((k) => (k === 20 ? [1.5, 0.8, 0.4] : [1, 1, 1]));
    const span = driftSpan(whiteDrift(steady, curve));
    expect(Math.max(span.redStops, span.blueStops, span.lightStops)).toBeLessThan(0.02);
  });

  it("answers nothing from fewer than five looks", () => {
    expect(whiteDrift(looks(() => [1, 1, 1]).slice(0, 4), curve)).toEqual([]);
  });
});
