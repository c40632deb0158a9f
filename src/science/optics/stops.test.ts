import { describe, expect, it } from "vitest";
import { engravedStops, stopWords } from "./stops.ts";

describe("stops as lenses are engraved", () => {
  it("are thirds of a stop, each nominal figure within a seventh of a stop of its power of the sixth root of two", () => {
    for (const [k, stop] of engravedStops.entries())
      expect(Math.abs(2 * Math.log2(stop / 2 ** (k / 6)))).toBeLessThan(0.15);
  });
  it("are told as engraved, and a lens's own odd stop as it is", () => {
    expect([2 ** 2.5, 2 ** (11 / 6), 2 ** (2 / 6), 2 ** 4.5, 8, 0.95, 1.7].map(stopWords)).toEqual([
      "5.6",
      "3.5",
      "1.2",
      "22",
      "8",
      "0.95",
      "1.7",
    ]);
  });
});
