import { describe, expect, it } from "vitest";
import { braidScale, creaseLines, layOutBraid, programToY } from "./braid-layout.ts";

const event = (start: number, end: number, sittingStart: number, camera = "A") => ({
  start,
  end,
  camera,
  path: `${camera}.mov`,
  hash: camera,
  sourceStart: sittingStart,
  sourceEnd: sittingStart + end - start,
  sittingStart,
  sittingEnd: sittingStart + end - start,
  why: "",
});
const events = [event(0, 10, 5), event(10, 16, 15, "B"), event(16, 30, 100)];
const dropped = [
  { start: 0, end: 5, why: "before" },
  { start: 21, end: 90, why: "a question" },
  { start: 90, end: 100, why: "a pause" },
  { start: 114, end: 115, why: "after" },
];
const sizes = { cut: 12, crease: 20, line: 6, part: 20 };

describe("the braid down the page", () => {
  const layout = layOutBraid(events, dropped, 10, sizes, new Set());

  it("keeps one scale for every shot", () => {
    expect(layout.shots.map((s) => s.y1 - s.y0)).toEqual([100, 60, 140]);
  });

  it("has a crease where something was folded away and a plain gap where nothing was", () => {
    expect(layout.creases.map((c) => [c.beforeShot, c.seconds])).toEqual([
      [0, 5],
      [2, 79],
      [3, 1],
    ]);
    expect(layout.shots[1]!.y0 - layout.shots[0]!.y1).toBe(12);
  });

  it("shows neighbouring folded stretches as one crease and keeps each for unfolding", () => {
    expect(layout.creases[1]!.parts.map((p) => p.why)).toEqual(["a question", "a pause"]);
  });

  it("gives one line under 10 s, two under a minute, three above", () => {
    expect([9.9, 10, 59.9, 60].map(creaseLines)).toEqual([1, 2, 2, 3]);
  });

  it("grows only at the crease that is unfolded, so that what stands above keeps its place", () => {
    const open = layOutBraid(events, dropped, 10, sizes, new Set(["crease-2"]));
    expect(open.shots[1]).toEqual(layout.shots[1]);
    expect(open.shots[2]!.y0).toBe(layout.shots[2]!.y0 + 50);
    expect(open.height).toBe(layout.height + 50);
  });

  it("places a program time on its shot, and one past the end at the end", () => {
    expect(programToY(events, layout, 5)).toBe(layout.shots[0]!.y0 + 50);
    expect(programToY(events, layout, 16)).toBe(layout.shots[2]!.y0);
    expect(programToY(events, layout, 99)).toBe(layout.shots[2]!.y1);
  });

  it("stands between 6.7 and 40 px a second, so that the middling shot holds its picture", () => {
    expect(braidScale(events, 100)).toBeCloseTo(10.8, 6);
    expect(braidScale([event(0, 60, 0)], 100)).toBe(6.7);
    expect(braidScale([event(0, 1, 0)], 100)).toBe(40);
  });

  it("is empty for an empty cut", () => {
    expect(layOutBraid([], [], 10, sizes, new Set())).toEqual({ shots: [], creases: [], height: 0 });
  });
});
