import { describe, expect, it } from "vitest";
import type { Triple } from "#science/colour/matrix3";
import { srgbToLinear } from "#science/colour/transfer-functions";
import { chart24Srgb } from "./chart-colours.ts";
import { chartCorners } from "./chart-place.ts";
import { chartlessTrial, chartTrial, type TrialWish } from "./chart-trials.ts";
import { patchesOutside } from "./cut-chart.ts";
import { findChart } from "./find-chart.ts";
import { chartPlaceOf } from "./read-chart-at.ts";

const size = { width: 640, height: 360 };

/** How far the worst corner lies from the truth, in patches; infinite where nothing was found. */
function cornerError(
  seed: number,
  hard: boolean,
  more: Partial<TrialWish> = {},
): { error: number; what: string } {
  const trial = chartTrial(seed, { ...size, hard, ...more });
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
    const missed = range(4)
      .map((k) => cornerError(1100 + k, false))
      .filter(({ error }) => error > 0.1);
    expect(missed).toEqual([]);
  });

  it("finds small, tilted, soft, noisy, compressed, unevenly lit ones", () => {
    const missed = range(4)
      .map((k) => cornerError(5000 + k, true))
      .filter(({ error }) => error > 0.1);
    expect(missed).toEqual([]);
  });

  it("finds the chart with a thumb over a corner", () => {
    const missed = range(4)
      .map((k) => cornerError(5100 + k, true, { thumb: true }))
      .filter(({ error }) => error > 0.1);
    expect(missed).toEqual([]);
  });

  it("finds the chart where a shadow's edge lies across it, a stop deep", () => {
    const missed = range(4)
      .map((k) => cornerError(31_000 + k, false, { shadeStops: 1 }))
      .filter(({ error }) => error > 0.1);
    expect(missed).toEqual([]);
  });

  it("finds a chart that the picture's edge cuts, and knows which patches are outside", () => {
    for (const seed of [701, 704, 738]) {
      const trial = chartTrial(seed, { ...size, hard: seed === 738, cut: [1, 9] });
      const found = findChart(trial.picture)!;
      const outside = patchesOutside(chartPlaceOf(trial.corners)!.toPicture, size.width, size.height);
      expect(found.outside).toEqual(outside);
      const [p, q] = trial.corners;
      const patch = Math.hypot(q[0] - p[0], q[1] - p[1]) / 6;
      chartCorners(found.place).forEach(([x, y], k) => {
        expect(Math.hypot(x - trial.corners[k]![0], y - trial.corners[k]![1])).toBeLessThan(0.1 * patch);
      });
    }
  });

  it("finds none in tiles, shelves, clutter, swatches and window panes without a chart", () => {
    const finds = range(5).filter((seed) => findChart(chartlessTrial(seed, size)) !== null);
    expect(finds).toEqual([]);
  });

  it("takes no mirror image for a chart", () => {
    const { width, height, rgb } = chartTrial(1100, { ...size, hard: false }).picture;
    const mirrored = new Uint8Array(rgb.length);
    for (let y = 0; y < height; y++) {
      for (let x = 0; x < width; x++) {
        const from = (y * width + x) * 3;
        mirrored.set(rgb.subarray(from, from + 3), (y * width + width - 1 - x) * 3);
      }
    }
    expect(findChart({ width, height, rgb: mirrored })).toBeNull();
  });

  it("refuses a grid of six by four with the chart's greys and other colours", () => {
    const right = chart24Srgb.map((c) => c.map(srgbToLinear) as unknown as Triple);
    const patches = right.map((colour, i) => (i < 18 ? right[(i + 7) % 18]! : colour));
    expect(findChart(chartTrial(1100, { ...size, hard: false, patches }).picture)).toBeNull();
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
