import { describe, expect, it } from "vitest";
import { boxCorners, boxOutline, distanceToBox, rayToBox } from "./box.ts";
import { distanceToOutline, edgesCross, isInside, signedArea } from "./polygon.ts";
import { angleBetween, directionOf, headingOf, tiltOf, turnBetween } from "./vector3.ts";
import { widestWay } from "./widest-way.ts";

const ell = [
  [0, 0],
  [4, 0],
  [4, 2],
  [2, 2],
  [2, 5],
  [0, 5],
] as const;

describe("polygons", () => {
  it("an L of 4 x 2 and 2 x 3 has 14 square metres, with the sign of its turn", () => {
    expect(signedArea(ell)).toBe(14);
    expect(signedArea([...ell].reverse())).toBe(-14);
  });
  it("its notch is outside", () => {
    expect(isInside(ell, 1, 4)).toBe(true);
    expect(isInside(ell, 3, 1)).toBe(true);
    expect(isInside(ell, 3, 4)).toBe(false);
    expect(distanceToOutline(ell, 3, 4)).toBeCloseTo(1, 12);
    expect(distanceToOutline(ell, 1.5, 1.5)).toBeCloseTo(Math.SQRT1_2, 12);
  });
  it("pieces that cross do, pieces that end on each other do not", () => {
    expect(edgesCross([0, 0], [2, 2], [0, 2], [2, 0])).toBe(true);
    expect(edgesCross([0, 0], [1, 1], [1, 1], [2, 0])).toBe(false);
    expect(edgesCross([0, 0], [1, 0], [0, 1], [1, 1])).toBe(false);
  });
});

describe("standing boxes", () => {
  const box = { at: [3, 2], heading: 90, size: [2, 1, 0.8], base: 0.4 } as const;
  it("a quarter turn swaps width and depth on the plan", () => {
    const xs = boxOutline(box).map(([x]) => x);
    const ys = boxOutline(box).map(([, y]) => y);
    expect(Math.max(...xs) - Math.min(...xs)).toBeCloseTo(1, 12);
    expect(Math.max(...ys) - Math.min(...ys)).toBeCloseTo(2, 12);
    expect(boxCorners(box).map((c) => c[2])).toEqual([
      0.4, 0.4, 0.4, 0.4, 1.2000000000000002, 1.2000000000000002, 1.2000000000000002, 1.2000000000000002,
    ]);
  });
  it("a ray meets its near face, passes under and over it, and starts inside it", () => {
    expect(rayToBox(box, [0, 2, 1], [1, 0, 0])).toBeCloseTo(2.5, 12);
    expect(rayToBox(box, [0, 2, 0.3], [1, 0, 0])).toBe(Number.POSITIVE_INFINITY);
    expect(rayToBox(box, [0, 2, 1], [-1, 0, 0])).toBe(Number.POSITIVE_INFINITY);
    expect(rayToBox(box, [3, 2, 0.8], [1, 0, 0])).toBe(0);
  });
  it("distance on the plan is to its outline", () => {
    expect(distanceToBox(box, 3, 2)).toBe(0);
    expect(distanceToBox(box, 4.5, 2)).toBeCloseTo(1, 12);
    expect(distanceToBox(box, 3.5 + 3, 3 + 4)).toBeCloseTo(5, 12);
  });
});

describe("headings", () => {
  it("run clockwise from up, and come back from their direction", () => {
    for (const heading of [0, 33, 90, 181, 300])
      for (const tilt of [-40, 0, 12]) {
        expect(headingOf(directionOf(heading, tilt))).toBeCloseTo(heading, 9);
        expect(tiltOf(directionOf(heading, tilt))).toBeCloseTo(tilt, 9);
      }
    expect(turnBetween(350, 10)).toBe(20);
    expect(turnBetween(10, 350)).toBe(-20);
    expect(angleBetween(directionOf(10), directionOf(47))).toBeCloseTo(37, 9);
  });
});

describe("the widest way over a floor", () => {
  // A wall at x = 2 with a gap of 0.6 m at y = 1 and one of 1 m at y = 4, in 4 x 5 m.
  const clearance = (x: number, y: number): number => {
    const edge = Math.min(x, 4 - x, y, 5 - y);
    const pieces = [
      [0, 0.7],
      [1.3, 3.5],
      [4.5, 5],
    ] as const;
    const wall = Math.min(...pieces.map(([low, high]) => Math.hypot(x - 2, Math.max(0, low - y, y - high))));
    return Math.min(edge, wall);
  };
  it("takes the wider gap, though it is farther", () => {
    const way = widestWay([0, 0, 4, 5], clearance, [0.8, 1], [3.2, 1], 0.1)!;
    expect(way.metres).toBeGreaterThan(0.85);
    expect(way.metres).toBeLessThanOrEqual(1);
    expect(way.at[1]).toBeCloseTo(4, 0);
    expect(way.path[0]![0]).toBeCloseTo(3.2, 0);
  });
  it("answers null where no way leads", () => {
    expect(widestWay([0, 0, 4, 5], (x) => Math.abs(x - 2) - 0.2, [0.8, 1], [3.2, 1], 0.1)).toBeNull();
  });
});
