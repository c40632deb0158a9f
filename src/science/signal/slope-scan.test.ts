import { expect, it } from "vitest";
import { lcgNoise } from "./lcg-noise.ts";
import { scanSlopes } from "./slope-scan.ts";

const moments = Array.from({ length: 80 }, (_, i) => i / 2);

/** Noise of deviation 1 with a line hidden in it, of this height. */
function slices(height: number): Float32Array[] {
  return moments.map((t, i) => {
    const slice = lcgNoise(401, 77 + i * 31).map((v) => v * Math.sqrt(3));
    const at = Math.round(200 + 25 + 1.2 * (t - moments.at(-1)! / 2));
    slice[at]! += height;
    return slice;
  });
}
const ones = moments.map(() => 1);

it("finds a line that no single correlation shows", () => {
  // 1.6 deviations: in 401 values chance alone reaches 3.
  const line = scanSlopes(slices(1.6), ones, moments, ones, { slope: 3, lag: 100 })!;
  expect(Math.abs(line.lag - 25)).toBeLessThanOrEqual(1);
  expect(line.slope).toBeCloseTo(1.2, 0);
  expect(line.score).toBeGreaterThan(9);
});

it("finds nothing that stands out in noise", () => {
  expect(scanSlopes(slices(0), ones, moments, ones, { slope: 3, lag: 100 })!.score).toBeLessThan(6);
});

it("finds a line of the other sign as well", () => {
  expect(scanSlopes(slices(-3), ones, moments, ones, { slope: 3, lag: 100 })!.score).toBeGreaterThan(15);
});
