import { describe, expect, it } from "vitest";
import { programRate } from "./program-rate.ts";

describe("the rate of a program", () => {
  it.each([
    [
      { num: 25, den: 1 },
      { num: 25, den: 1 },
    ],
    [
      { num: 50, den: 2 },
      { num: 25, den: 1 },
    ],
    [
      { num: 24000, den: 1001 },
      { num: 24000, den: 1001 },
    ],
    [
      { num: 2987, den: 100 },
      { num: 30000, den: 1001 },
    ],
    [
      { num: 120, den: 1 },
      { num: 60, den: 1 },
    ],
  ])("led by %o is %o", (camera, program) => expect(programRate(camera)).toEqual(program));
});
