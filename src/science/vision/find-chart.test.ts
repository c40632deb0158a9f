import { describe, expect, it } from "vitest";
import { chartCorners } from "./chart-place.ts";
import { chartlessTrial, chartTrial } from "./chart-trials.ts";
import { findChart } from "./find-chart.ts";

const size = { width: 640, height: 360 };

/** How far the worst corner lies from the truth, in patches; infinite where nothing was found. */
function cornerError(seed: number, hard: boolean): { error: number; what: string } {
  const trial = chartTrial(seed, { ...size, hard });
  const found = findChart(trial.picture);
  if (!found) return { error: Number.POSITIVE_INFINITY, what: trial.what };
  const [first, second] = trial.corners;
  const patch = Math.hypot(second[0] - first[0], second[1] - first[1]) / 6;
  const corners = chartCorners(found.place);
  const error = Math.max(
    ...corners.map(([x, y], k) => Math.hypot(x - trial.corners[k]![0], y - trial.corners[k]![1]) / patch),
  );
  return { error, what: trial.what };
}

describe("findChart, on drawn pictures with known corners", () => {
  it("finds the chart at any turn before plain and busy grounds, its corners within a tenth of a patch", () => {
    const missed = range(12)
      .map((k) => cornerError(1100 + k, false))
      .filter(({ error }) => error > 0.1);
    expect(missed).toEqual([]);
  });

  it("finds at least 11 of 12 small, tilted, soft, noisy, unevenly lit ones", () => {
    const missed = range(12)
      .map((k) => cornerError(5000 + k, true))
      .filter(({ error }) => error > 0.1);
    expect(missed.length, missed.map(({ what }) => what).join("; ")).toBeLessThanOrEqual(1);
  });

  it("finds none in tiles, shelves and clutter without a chart", () => {
    const finds = range(12).filter((seed) => findChart(chartlessTrial(seed, size)) !== null);
    expect(finds).toEqual([]);
  });

  it("finds none in black, white or a picture of a few pixels", () => {
    for (const value of [0, 255]) {
      expect(
        findChart({ ...size, rgb: new Uint8Array(size.width * size.height * 3).fill(value) }),
      ).toBeNull();
    }
    expect(findChart({ width: 2, height: 2, rgb: new Uint8Array(12) })).toBeNull();
  });
});

function range(n: number): number[] {
  return Array.from({ length: n }, (_, i) => i);
}
