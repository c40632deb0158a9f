import { fc, test } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import type { PictureSaid } from "#documents/said";
import type { WatchRange } from "./ranges-from.ts";
import { withSaidPictures } from "./said-pictures.ts";

const soft: WatchRange = {
  start: 50,
  end: 60,
  kind: "soft",
  severity: 0.8,
  evidence: "Edges held 40 % of their usual fine detail.",
  worstAt: 53,
};
const said = (from: number, to: number, says: "fine" | "avoid"): PictureSaid => ({
  hash: "xxh128:b",
  from,
  to,
  says,
});

describe("what a person says of a picture", () => {
  it("takes the whole of a range out, and keeps it to be told of", () => {
    const { avoid, overruled } = withSaidPictures([soft], [said(50, 60, "fine")]);
    expect(avoid).toEqual([]);
    expect(overruled).toEqual([soft]);
  });

  it("leaves both ends of a range where its middle is fine, each with a moment of its own to show", () => {
    const { avoid } = withSaidPictures([soft], [said(52, 56, "fine")]);
    expect(avoid.map(({ start, end }) => [start, end])).toEqual([
      [50, 52],
      [56, 60],
    ]);
    for (const { start, end, worstAt } of avoid) expect(worstAt >= start && worstAt < end).toBe(true);
  });

  it("adds a range that nobody measured", () => {
    const { avoid } = withSaidPictures([], [said(3, 4, "avoid")]);
    expect(avoid).toMatchObject([{ start: 3, end: 4, kind: "unwanted", said: true }]);
  });
});

test.prop(
  [
    fc.array(
      fc
        .tuple(fc.integer({ min: 0, max: 80 }), fc.integer({ min: 1, max: 15 }), fc.boolean())
        .map(([from, length, isFine]) => said(from, from + length, isFine ? "fine" : "avoid")),
      { maxLength: 6 },
    ),
  ],
  { numRuns: 60 },
)("no moment that is called fine is avoided for what was measured there", (list) => {
  const { avoid } = withSaidPictures([soft], list);
  for (let t = 0.5; t < 100; t++) {
    const isFine = list.some(({ from, to, says }) => says === "fine" && from <= t && t < to);
    const isAvoided = avoid.some((r) => r.kind === "soft" && r.start <= t && t < r.end);
    expect(isAvoided).toBe(t > 50 && t < 60 && !isFine);
  }
});
