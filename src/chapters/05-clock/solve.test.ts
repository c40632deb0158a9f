import { describe, expect, it } from "vitest";
import { uniform } from "../../../test/helpers/simulated-room.ts";
import { type ClockLine, localTime, referenceTime } from "./line.ts";
import type { MeasuredWindow } from "./second-look.ts";
import { solveClocks } from "./solve.ts";

/** Windows of one recording against another, given both true lines, with noise and some far off. */
function windows(
  reference: ClockLine,
  other: ClockLine,
  from: number,
  end: number,
  noise: number,
  seed: number,
): MeasuredWindow[] {
  const chance = uniform(seed);
  return Array.from({ length: 60 }, (_, i) => {
    const at = from + ((end - from) * i) / 59;
    const off = i % 6 === 0 ? 5e-4 : (chance() - 0.5) * noise;
    return {
      at,
      referenceAt: localTime(reference, referenceTime(other, at)) + off,
      weight: 100,
      loud: 1,
      used: true,
    };
  });
}

describe("solving all clocks at once", () => {
  const truth: ClockLine[] = [
    { offset: 0, ratePpm: 0 },
    { offset: 3.2, ratePpm: 17 },
    { offset: 640.7, ratePpm: 17 },
    { offset: 700, ratePpm: -44 },
  ];
  const clocks = ["A", "B", "B", "sound"];
  const seconds = [660, 600, 600, 500];
  // The recorder is reached through camera B's second file alone.
  const pairs = [
    { reference: 0, other: 1, windows: windows(truth[0]!, truth[1]!, 5, 595, 4e-5, 1) },
    { reference: 0, other: 2, windows: windows(truth[0]!, truth[2]!, 0, 15, 4e-5, 2) },
    { reference: 2, other: 3, windows: windows(truth[2]!, truth[3]!, 0, 490, 4e-5, 3) },
  ];
  const { lines, kept } = solveClocks(4, 0, clocks, seconds, pairs);

  it("places each within its uncertainty, also through another recording", () => {
    for (const i of [1, 2, 3]) {
      const { line, uncertainty } = lines[i]!;
      for (const t of [0, seconds[i]!]) {
        const error = Math.abs(referenceTime(line, t) - referenceTime(truth[i]!, t));
        expect(error).toBeLessThan(4 * uncertainty);
        expect(error).toBeLessThan(5e-5);
      }
    }
  });

  it("gives a device's files one rate, so that a short overlap still knows its drift", () => {
    expect(lines[1]!.line.ratePpm).toBe(lines[2]!.line.ratePpm);
    expect(Math.abs(lines[2]!.line.ratePpm - 17)).toBeLessThan(0.05);
  });

  it("takes their say from windows that are half a millisecond off", () => {
    expect(kept[0]!.filter((k) => k === 0)).toHaveLength(10);
  });

  it("leaves alone what no pair reaches", () => {
    expect(solveClocks(2, 0, ["A", "B"], [10, 10], []).lines).toEqual([
      { line: { offset: 0, ratePpm: 0 }, uncertainty: 0, ratePpmDeviation: 0 },
      null,
    ]);
  });
});

describe("a recording whose windows all disagree with its device's rate", () => {
  // The short clip's windows drift by 900 parts in a million against its own device's 17: a wrong track, 40 times the
  // scatter at its ends.
  const truth: ClockLine[] = [
    { offset: 0, ratePpm: 0 },
    { offset: 3.2, ratePpm: 17 },
    { offset: 300, ratePpm: 900 },
  ];
  const pairs = [1, 2].map((other) => ({
    reference: 0,
    other,
    windows: windows(truth[0]!, truth[other]!, 0, other === 1 ? 590 : 60, 4e-5, other).map((window) => ({
      ...window,
      weight: other === 1 ? 100 : 5,
    })),
  }));

  it("keeps a say of its own, is still placed, and takes nothing from the others", () => {
    const { lines, kept } = solveClocks(3, 0, ["A", "B", "B"], [600, 600, 70], pairs);
    expect(Math.abs(lines[1]!.line.ratePpm - 17)).toBeLessThan(0.5);
    expect(kept[1]!.some((weight) => weight > 0)).toBe(true);
    expect(Math.abs(referenceTime(lines[2]!.line, 30) - referenceTime(truth[2]!, 30))).toBeLessThan(0.02);
  });
});
