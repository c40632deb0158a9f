import { describe, expect, it } from "vitest";
import { leanAt, leans } from "./lean.ts";

const recording = {
  path: "B.mp4",
  hash: "b",
  device: "B",
  placedBy: "sound" as const,
  offset: 10,
  ratePpm: 50,
  pictureOffset: null,
  confidence: 1,
  uncertainty: 0.0001,
  durationSeconds: 1000,
  windows: [],
};

describe("the lean of a recording", () => {
  // The contract: local time t stands at offset + t (1 + ratePpm 1e-6).
  it("is t times the rate: 50 ppm over 1000 s is 50 ms", () => {
    const [line] = leans(recording);
    expect(line!.from).toBe(10);
    expect(line!.to).toBeCloseTo(1010.05, 9);
    expect(line!.delayFrom).toBe(0);
    expect(line!.delayTo).toBeCloseTo(0.05, 9);
    expect(leanAt(recording, 510.025)).toBeCloseTo(0.025, 9);
  });

  it("steps where a piece begins, by what its own offset says", () => {
    const pieces = [
      { from: 0, offset: 10, ratePpm: 50 },
      { from: 400, offset: 10.04, ratePpm: 0 },
    ];
    const lines = leans({ ...recording, pieces });
    expect(lines).toHaveLength(2);
    expect(lines[0]!.delayTo).toBeCloseTo(0.02, 9);
    expect(lines[1]!.delayFrom).toBeCloseTo(0.04, 9);
    expect(lines[1]!.delayTo).toBeCloseTo(0.04, 9);
  });

  it("is unknown for a recording that is not placed", () => {
    expect(leans({ ...recording, offset: null, ratePpm: null })).toEqual([]);
    expect(leanAt({ ...recording, offset: null }, 20)).toBeNull();
  });
});
