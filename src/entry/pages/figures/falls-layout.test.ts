import { describe, expect, it } from "vitest";
import { layOutFalls } from "./falls-layout.ts";

const patches = Array.from({ length: 24 }, (_, index) => ({
  index,
  before: 10.5,
  after: index === 3 ? 12 : 1,
}));
const box = { left: 40, right: 600, top: 20, bottom: 200 };

describe("the falls of the patches", () => {
  const { falls, ticks, y, max } = layOutFalls(patches, box);

  it("stands on zero and ends at the round number above the largest difference", () => {
    expect(max).toBe(12);
    expect(y(0)).toBe(200);
    expect(y(12)).toBe(20);
    expect(ticks[0]).toEqual({ value: 0, y: 200 });
  });

  it("lets a patch that got worse rise", () => {
    expect(falls[3]!.to).toBeLessThan(falls[3]!.from);
    expect(falls[4]!.to).toBeGreaterThan(falls[4]!.from);
  });

  it("keeps the chart's order with a wider gap between its four rows", () => {
    const steps = falls.slice(1).map((f, i) => f.x - falls[i]!.x);
    const within = steps[0]!;
    steps.forEach((step, i) => {
      expect(step).toBeCloseTo((i + 1) % 6 === 0 ? within * 1.5 : within, 9);
    });
  });

  it("stays in its box", () => {
    for (const f of falls) {
      expect(f.x).toBeGreaterThan(40);
      expect(f.x).toBeLessThan(600);
    }
  });
});
