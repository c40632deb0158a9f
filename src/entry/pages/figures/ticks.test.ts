import { describe, expect, it } from "vitest";
import { niceCeiling, niceTicks, scale, timeTicks } from "./ticks.ts";

describe("ticks of an axis", () => {
  it("are round and lie within the axis", () => {
    expect(niceTicks(-0.13, 2.1, 5)).toEqual([0, 0.5, 1, 1.5, 2]);
    expect(niceTicks(0, 84, 5)).toEqual([0, 20, 40, 60, 80]);
  });

  it("do not carry the dust of floating point", () => {
    expect(niceTicks(0, 0.3, 3)).toEqual([0, 0.1, 0.2, 0.3]);
  });

  it("are one where the axis has no length", () => {
    expect(niceTicks(4, 4, 5)).toEqual([4]);
  });

  it("of time step by 15 s in a minute and a half, and by ten minutes in an hour", () => {
    expect(timeTicks(0, 84, 7).map((t) => t.label)).toEqual(["0:00", "0:15", "0:30", "0:45", "1:00", "1:15"]);
    expect(timeTicks(0, 3240, 7).map((t) => t.label)).toEqual([
      "0 min",
      "10 min",
      "20 min",
      "30 min",
      "40 min",
      "50 min",
    ]);
  });

  it("of time name hours in a long sitting", () => {
    expect(timeTicks(0, 7200, 4).map((t) => t.label)).toEqual(["0 min", "30 min", "1 h", "1 h 30", "2 h"]);
  });
});

describe("scales", () => {
  it("map straight, and to one place where the range has no length", () => {
    expect(scale(0, 10, 100, 0)(2.5)).toBe(75);
    expect(scale(3, 3, 50, 90)(8)).toBe(50);
  });

  it("end at a round number at or above the value", () => {
    expect([0.9, 1, 10.8, 12, 13, 26, 0].map(niceCeiling)).toEqual([1, 1, 12, 12, 15, 30, 1]);
  });
});
