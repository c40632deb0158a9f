import { describe, expect, it } from "vitest";
import { openTimeLeft } from "./time-left.ts";

/** Tells each pair of seconds and progress, and answers what the last one answered. */
const leftAfter = (...pairs: [at: number, done: number][]): number | null => {
  let now = 0;
  const timeLeft = openTimeLeft(() => now);
  return pairs
    .map(([at, done]) => {
      now = at;
      return timeLeft.at(done);
    })
    .at(-1)!;
};

describe("the time left", () => {
  it("is not known at first, nor while next to nothing is done", () => {
    expect(leftAfter([0, 0])).toBeNull();
    expect(leftAfter([0, 0], [1, 0.5])).toBeNull();
    expect(leftAfter([0, 0], [30, 0.001])).toBeNull();
  });

  it("is what the pace so far makes of the rest", () => {
    expect(leftAfter([0, 0], [5, 0.25])).toBeCloseTo(15, 6);
    expect(leftAfter([0, 0], [30, 1])).toBe(0);
  });

  it("goes by the newest stretch where the pace changes", () => {
    const quick = Array.from({ length: 11 }, (_, i): [number, number] => [i, i * 0.05]);
    const slow = Array.from({ length: 40 }, (_, i): [number, number] => [11 + i, 0.5 + (i + 1) * 0.005]);
    expect(leftAfter(...quick, ...slow)).toBeCloseTo((1 - 0.7) / 0.005, 0);
  });

  it("begins again with work that begins again", () => {
    expect(leftAfter([0, 0], [10, 0.9], [11, 0])).toBeNull();
  });
});
