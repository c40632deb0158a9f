import { describe, expect, it } from "vitest";
import { nameWhite } from "./planckian.ts";
import { chromaticityToXyz } from "./white-points.ts";

describe("nameWhite, against the standard illuminants of CIE 015", () => {
  // Nominal temperatures: A 2 856 K; D50 5 003 K; D65 6 504 K; D75 7 504 K (CIE 015; daylight by its formula with c2 of
  // 1968). The line is Krystek's, good to some kelvin.
  it.each([
    ["A", [0.44758, 0.40745], 2856, 4],
    ["D50", [0.3457, 0.3585], 5003, 6],
    ["D65", [0.3127, 0.329], 6504, 8],
    ["D75", [0.29903, 0.31488], 7504, 12],
  ] as const)("names %s", (_, xy, kelvin, slack) => {
    expect(Math.abs(nameWhite(chromaticityToXyz(xy)).kelvin - kelvin)).toBeLessThan(slack);
  });
  it("puts D65 0.0032 above the black-body line and A on it", () => {
    // CIE D65: Duv 0.0032 (ANSI C78.377 gives 0.0033 for 6 500 K daylight).
    expect(nameWhite(chromaticityToXyz([0.3127, 0.329])).duv).toBeCloseTo(0.0032, 3);
    expect(Math.abs(nameWhite(chromaticityToXyz([0.44758, 0.40745])).duv)).toBeLessThan(2e-4);
  });
  it("counts green as above and magenta as below", () => {
    expect(nameWhite(chromaticityToXyz([0.33, 0.37])).duv).toBeGreaterThan(0.005);
    expect(nameWhite(chromaticityToXyz([0.33, 0.31])).duv).toBeLessThan(-0.005);
  });
});
