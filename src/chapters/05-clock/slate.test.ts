import { describe, expect, it } from "vitest";
import type { PlacedClaps } from "./claps.ts";
import { placeBySlate } from "./slate.ts";

const heard = (...at: number[]) => at.map((t) => ({ at: t, peakDb: -10 }));
const placed = (offset: number, ...at: number[]): PlacedClaps =>
  ({ hash: `at ${offset}`, line: { offset, ratePpm: 0 }, claps: heard(...at) }) as unknown as PlacedClaps;

describe("placeBySlate", () => {
  it("believes two claps with the same time between them", () => {
    const found = placeBySlate(heard(1, 4.5), [placed(0, 20.002, 23.5, 40)], 0, null)!;
    expect(found).toMatchObject({ claps: 2, isAlone: false });
    expect(found.offset).toBeCloseTo(19.001, 2);
    expect(found.uncertainty).toBeGreaterThanOrEqual(0.006);
  });

  it("believes one alone on both sides, and says that it is alone", () =>
    expect(placeBySlate(heard(2), [placed(0, 12)], 0, null)).toMatchObject({ offset: 10, isAlone: true }));

  it("counts a clap that two placed recordings heard once", () =>
    expect(placeBySlate(heard(2), [placed(0, 12), placed(5, 7.006)], 0, null)).toMatchObject({
      isAlone: true,
    }));

  it("refuses one clap among several, unless a label says about where", () => {
    const known = [placed(0, 12, 30)];
    expect(placeBySlate(heard(2), known, 0, null)).toBeNull();
    expect(placeBySlate(heard(2), known, 0, { offset: 27.6, reach: 1 })).toMatchObject({
      offset: 28,
      isAlone: false,
    });
    expect(placeBySlate(heard(2), known, 0, { offset: 20, reach: 1 })).toBeNull();
  });

  it("refuses two places that fit as well", () =>
    expect(placeBySlate(heard(1, 2), [placed(0, 10, 11, 20, 21)], 0, null)).toBeNull());

  it("refuses where nobody clapped", () => {
    expect(placeBySlate([], [placed(0, 10)], 0, null)).toBeNull();
    expect(placeBySlate(heard(1), [placed(0)], 0, null)).toBeNull();
  });

  it("stretches the clip's time by what is known of its clock", () =>
    expect(placeBySlate(heard(1000, 2000), [placed(0, 1100.1, 2100.2)], 100, null)).toMatchObject({
      claps: 2,
    }));
});
