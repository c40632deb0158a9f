import { describe, expect, it } from "vitest";
import { cameraA, cameraB, leastSquares, times, truePatches } from "./camera-colour.ts";
import { patchDifference } from "./patch-difference.ts";
import { cameraALogToLight, lightToCameraALog, lightToCameraB, tabulated } from "./tone-curves.ts";

describe("the patches' spectra", () => {
  it("give the published luminance of the greys under D65, to two in a hundred", () => {
    // McCamy, Marcus & Davidson 1976, table 1, Y of patches 19 to 24 (illuminant C; the greys hardly change)
    const published = [0.9001, 0.591, 0.362, 0.1977, 0.09, 0.0313];
    published.forEach((y, k) => {
      const [r, g, b] = truePatches[18 + k]!;
      expect(Math.abs(0.2126 * r + 0.7152 * g + 0.0722 * b - y)).toBeLessThan(0.02);
    });
  });
});

describe("the two cameras", () => {
  it("differ by 6 to 10 units before a match", () => {
    const { mean } = patchDifference();
    expect(mean).toBeGreaterThan(6);
    expect(mean).toBeLessThan(10);
  });
  it("cannot be matched wholly by a 3 x 3, as real ones cannot, but nearly", () => {
    const m = leastSquares(cameraB.patches, cameraA.patches);
    const errors = cameraB.patches.map((b, k) => {
      const a = cameraA.patches[k]!;
      const t = times(m, b);
      return Math.hypot(t[0] - a[0], t[1] - a[1], t[2] - a[2]);
    });
    expect(Math.max(...errors)).toBeGreaterThan(0.004);
    expect(Math.max(...errors)).toBeLessThan(0.04);
  });
});

describe("the curves", () => {
  it("go up without a step", () => {
    for (const curve of [lightToCameraALog, lightToCameraB]) {
      const steps = Array.from(
        { length: 40_000 },
        (_, k) => curve(-0.02 + (k + 1) * 1e-4) - curve(-0.02 + k * 1e-4),
      );
      expect(Math.min(...steps)).toBeGreaterThanOrEqual(0);
      expect(Math.max(...steps)).toBeLessThan(0.003);
    }
  });
  it("A's inverse undoes it", () => {
    for (const light of [0, 0.01, 0.18, 0.9, 8])
      expect(cameraALogToLight(lightToCameraALog(light))).toBeCloseTo(light, 9);
  });
  it("B's is BT.709-6 item 1.2 below its knee: 0.18 gives 0.409007728864", () => {
    expect(lightToCameraB(0.18)).toBeCloseTo(0.409007728864, 11);
  });
  it("a table of a curve stays within a tenth of a 10-bit code", () => {
    const quick = tabulated(lightToCameraALog, 16);
    for (let l = 0.0005; l < 15; l *= 1.07)
      expect(Math.abs(quick(l) - lightToCameraALog(l)) * 876).toBeLessThan(0.1);
  });
});
