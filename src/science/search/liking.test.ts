import { describe, expect, it } from "vitest";
import { liking, likingHigh, likingLow } from "./liking.ts";

describe("liking", () => {
  it("is all within the best, nothing outside, and half way in the middle of each flank", () => {
    const like = (value: number): number => liking(value, 10, 20, 30, 50);
    expect([5, 10, 20, 25, 30, 50, 60].map(like)).toEqual([0, 0, 1, 1, 1, 0, 0]);
    expect(like(15)).toBeCloseTo(0.5, 12);
    expect(like(40)).toBeCloseTo(0.5, 12);
    // (1 - cos 45°) / 2.
    expect(like(12.5)).toBeCloseTo(0.146447, 6);
  });
  it("has one-sided forms", () => {
    expect([likingLow(-1e9, 1, 3), likingLow(1, 1, 3), likingLow(3, 1, 3)]).toEqual([1, 1, 0]);
    expect(likingLow(2, 1, 3)).toBeCloseTo(0.5, 12);
    expect([likingHigh(1, 1, 3), likingHigh(3, 1, 3), likingHigh(1e9, 1, 3)]).toEqual([0, 1, 1]);
  });
});
