import { describe, expect, it } from "vitest";
import { nextWord, seededChance } from "./seeded-chance.ts";

describe("seeded chance", () => {
  // The authors' xoshiro128starstar.c, version 1.1, from the state {1, 2, 3, 4}.
  it("gives the published words of xoshiro128**", () => {
    const state = Uint32Array.of(1, 2, 3, 4);
    expect(Array.from({ length: 10 }, () => nextWord(state))).toEqual([
      11520, 0, 5927040, 70819200, 2031721883, 1637235492, 1287239034, 3734860849, 3729100597, 4258142804,
    ]);
  });
  it("is even in [0, 1), and normal with mean 0 and deviation 1", () => {
    const chance = seededChance(7);
    const count = 20_000;
    let [sum, normal, square] = [0, 0, 0];
    for (let i = 0; i < count; i++) {
      const even = chance.next();
      expect(even >= 0 && even < 1).toBe(true);
      sum += even;
      const z = chance.normal();
      normal += z;
      square += z * z;
    }
    // Four standard errors each.
    expect(Math.abs(sum / count - 0.5)).toBeLessThan(4 * Math.sqrt(1 / 12 / count));
    expect(Math.abs(normal / count)).toBeLessThan(4 / Math.sqrt(count));
    expect(Math.abs(square / count - 1)).toBeLessThan(4 * Math.sqrt(2 / count));
  });
  it("is the same for the same seed and another for another", () => {
    const draw = (seed: number): number[] => {
      const chance = seededChance(seed);
      return Array.from({ length: 5 }, () => chance.next());
    };
    expect(draw(3)).toEqual(draw(3));
    expect(draw(3)).not.toEqual(draw(4));
  });
});
