import { describe, expect, it } from "vitest";
import { publishedColumns } from "../../../test/helpers/published-colour.ts";
import { colourDifferenceCie2000, colourDifferenceParts } from "./ciede2000.ts";
import type { Triple } from "./matrix3.ts";

describe("colourDifferenceCie2000, against Sharma, Wu & Dalal 2005, Table 1", () => {
  const table = publishedColumns("ciede2000_sharma.csv");
  const cell = (name: string, i: number): number => table.get(name)![i]!;
  const pairs = table.get("pair")!.map((pair, i) => ({
    pair,
    one: [cell("L1", i), cell("a1", i), cell("b1", i)] as Triple,
    two: [cell("L2", i), cell("a2", i), cell("b2", i)] as Triple,
    printed: cell("dE00", i),
  }));

  it("has all 34 pairs to check", () => expect(pairs).toHaveLength(34));

  // Printed with four decimals, so four are checked (±0.00005). Pair 14's hues are exactly opposite.
  it.each(pairs)("pair $pair differs by $printed, whichever colour comes first", ({ one, two, printed }) => {
    expect(colourDifferenceCie2000(one, two)).toBeCloseTo(printed, 4);
    expect(colourDifferenceCie2000(two, one)).toBeCloseTo(printed, 4);
  });

  it.each(pairs)(
    "pair $pair: the squares of the parts add up to the square of the whole",
    ({ one, two, printed }) => {
      const [l, c, h] = colourDifferenceParts(one, two);
      expect(Math.hypot(l, c, h)).toBeCloseTo(printed, 4);
    },
  );
});
