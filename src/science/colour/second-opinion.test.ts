import Color from "colorjs.io";
import { describe, expect, it } from "vitest";
import { bradfordAdaptation } from "./bradford.ts";
import { d50ToSrgb } from "./display-view.ts";
import { labToXyz, xyzToLab } from "./lab.ts";
import { applyMatrix3, type Triple } from "./matrix3.ts";
import { bt709, bt2020, p3D65, rgbToXyzMatrix } from "./primaries.ts";
import {
  bt709ToLinear,
  hlgToLinear,
  linearToBt709,
  linearToHlg,
  linearToSrgb,
  luminanceToPq,
  pqToLuminance,
  srgbToLinear,
} from "./transfer-functions.ts";
import { chromaticityToXyz, whiteD50, whiteD65 } from "./white-points.ts";

/*
 * colorjs.io as a second opinion on every conversion of ours that it has. It keeps whites to four decimals as CIE 015
 * does; where its matrices are printed with fewer digits the tolerance says so.
 */
const colours: readonly Triple[] = [
  [0.2, 0.4, 0.6],
  [0.9, 0.1, 0.05],
  [0.02, 0.02, 0.03],
  [0.18, 0.18, 0.18],
  [1, 1, 1],
];
const values = [0, 0.002, 0.02, 0.18, 0.5, 0.75, 1];

function near(ours: readonly number[], theirs: readonly (number | null)[], within: number): void {
  ours.forEach((value, c) => {
    expect(Math.abs(value - (theirs[c] ?? 0))).toBeLessThan(within);
  });
}
const theirs = (from: string, colour: Triple, to: string): readonly (number | null)[] =>
  new Color(from, [...colour]).to(to).coords;
const one = (from: string, value: number, to: string): number =>
  theirs(from, [value, value, value], to)[1] ?? 0;

describe("colours, beside colorjs.io", () => {
  it.each([
    ["srgb-linear", bt709],
    ["rec2020-linear", bt2020],
    ["p3-linear", p3D65],
  ] as const)("takes %s to the same XYZ", (space, primaries) => {
    for (const colour of colours)
      near(applyMatrix3(rgbToXyzMatrix(primaries), colour), theirs(space, colour, "xyz-d65"), 2e-5);
  });

  it("adapts from D65 to D50 alike, by Bradford", () => {
    const adapt = bradfordAdaptation(chromaticityToXyz(whiteD65), chromaticityToXyz(whiteD50));
    for (const colour of colours)
      near(applyMatrix3(adapt, colour), theirs("xyz-d65", colour, "xyz-d50"), 2e-5);
  });

  it("takes D50 XYZ to the same L*a*b* and back", () => {
    const white = chromaticityToXyz(whiteD50);
    for (const colour of colours) {
      const lab = xyzToLab(colour, white);
      near(lab, theirs("xyz-d50", colour, "lab"), 2e-3);
      near(labToXyz(lab, white), theirs("lab", lab, "xyz-d50"), 2e-5);
    }
  });

  it("shows a colour seen under D50 with the same sRGB code values", () => {
    for (const colour of colours) {
      const [x, y, z] = applyMatrix3(
        bradfordAdaptation(chromaticityToXyz(whiteD65), chromaticityToXyz(whiteD50)),
        applyMatrix3(rgbToXyzMatrix(bt709), colour),
      );
      near(d50ToSrgb([x, y, z]), theirs("srgb-linear", colour, "srgb"), 2e-4);
    }
  });
});

describe("curves, beside colorjs.io, there and back", () => {
  it.each(values)("sRGB at %d", (value) => {
    expect(linearToSrgb(value)).toBeCloseTo(one("srgb-linear", value, "srgb"), 6);
    expect(srgbToLinear(value)).toBeCloseTo(one("srgb", value, "srgb-linear"), 6);
  });

  // BT.2020's camera curve is BT.709's; colorjs.io has the constants with more digits (1.09929...), we as printed.
  it.each(values)("BT.709 and BT.2020 at %d", (value) => {
    expect(Math.abs(linearToBt709(value) - one("rec2020-linear", value, "--rec2020-oetf"))).toBeLessThan(
      1e-3,
    );
    expect(Math.abs(bt709ToLinear(value) - one("--rec2020-oetf", value, "rec2020-linear"))).toBeLessThan(
      1e-3,
    );
  });

  it.each(values)("PQ at %d: its light is relative to 203 cd/m2", (value) => {
    expect(luminanceToPq(203 * value)).toBeCloseTo(one("rec2100-linear", value, "rec2100pq"), 6);
    expect(pqToLuminance(value) / 203 / Math.max(1, one("rec2100pq", value, "rec2100-linear"))).toBeCloseTo(
      one("rec2100pq", value, "rec2100-linear") / Math.max(1, one("rec2100pq", value, "rec2100-linear")),
      6,
    );
  });

  it.each(values)("HLG at %d: its light is scaled by 3.7743", (value) => {
    expect(linearToHlg(value)).toBeCloseTo(one("rec2100-linear", 3.7743 * value, "rec2100hlg"), 5);
    expect(3.7743 * hlgToLinear(value)).toBeCloseTo(one("rec2100hlg", value, "rec2100-linear"), 5);
  });
});
