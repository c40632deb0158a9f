import { describe, expect, it } from "vitest";
import { areasOfPatches } from "./fault-areas.ts";

describe("where patches lie in the picture", () => {
  it("cuts an upright chart into six by four", () => {
    const corners = [
      [100, 50],
      [700, 50],
      [700, 450],
      [100, 450],
    ] as const;
    expect(areasOfPatches(corners, [0, 23])).toEqual([
      [
        [100, 50],
        [200, 50],
        [200, 150],
        [100, 150],
      ],
      [
        [600, 350],
        [700, 350],
        [700, 450],
        [600, 450],
      ],
    ]);
  });

  it("follows a chart that is turned and seen aslant: the corner patches keep its corners", () => {
    const corners = [
      [400, 80],
      [760, 300],
      [500, 560],
      [180, 240],
    ] as const;
    const [first, last] = areasOfPatches(corners, [0, 23]);
    expect(first![0]).toEqual([400, 80]);
    expect(last![2]).toEqual([500, 560]);
  });
});
