import { fc, test } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import { localFromSitting, picturePlacement, sittingFromLocal } from "./placement.ts";

const ppm = fc.double({ min: -300, max: 300, noNaN: true });
const seconds = fc.double({ min: -100, max: 10_000, noNaN: true });

describe("placement", () => {
  test.prop([seconds, ppm, fc.double({ min: 0, max: 10_000, noNaN: true })])(
    "local time goes to sitting time and back within a microsecond",
    (offset, ratePpm, local) => {
      const placement = { offset, ratePpm };
      expect(localFromSitting(placement, sittingFromLocal(placement, local))).toBeCloseTo(local, 6);
    },
  );

  it("follows the formula of the published JSON: offset + t (1 + ppm)", () => {
    expect(sittingFromLocal({ offset: 2, ratePpm: 100 }, 1000)).toBeCloseTo(1002.1, 9);
  });

  it("uses each piece from its own local time on", () => {
    const placement = { offset: 0, ratePpm: 0, pieces: [{ from: 100, offset: 0.5, ratePpm: 0 }] };
    expect(sittingFromLocal(placement, 99)).toBe(99);
    expect(sittingFromLocal(placement, 101)).toBe(101.5);
    expect(localFromSitting(placement, 101.5)).toBe(101);
    expect(localFromSitting(placement, 50)).toBe(50);
  });

  it("moves every piece of the picture by the sound's travel time", () => {
    const placed = {
      offset: 3,
      ratePpm: 10,
      pictureOffset: 2.99,
      pieces: [{ from: 10, offset: 4, ratePpm: 10 }],
    };
    expect(picturePlacement(placed)?.offset).toBeCloseTo(2.99);
    expect(picturePlacement(placed)?.pieces?.[0]?.offset).toBeCloseTo(3.99);
    expect(picturePlacement({ ...placed, offset: null })).toBeNull();
  });
});
