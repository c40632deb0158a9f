import { describe, expect, it } from "vitest";
import { chart24Srgb } from "./chart-colours.ts";
import { chartCorners } from "./chart-place.ts";
import { drawChart } from "./draw-chart.ts";
import type { Point } from "./homography.ts";
import { chartPlaceOf, readChartAt } from "./read-chart-at.ts";

const corners: [Point, Point, Point, Point] = [
  [80, 60],
  [330, 75],
  [320, 240],
  [70, 220],
];

describe("a chart read where a person says it is", () => {
  it("lies exactly at the corners that were given", () => {
    chartCorners(chartPlaceOf(corners)!).forEach((corner, k) => {
      expect(corner[0]).toBeCloseTo(corners[k]![0], 6);
      expect(corner[1]).toBeCloseTo(corners[k]![1], 6);
    });
  });

  it("is nowhere where the corners cross or lie on a line", () => {
    const [a, b, c, d] = corners;
    expect(chartPlaceOf([a, c, b, d])).toBeNull();
    expect(chartPlaceOf([a, b, [580, 90], d])).toBeNull();
  });

  it("has the colours that were drawn there", () => {
    const [width, height] = [400, 300];
    const drawn = drawChart({
      width,
      height,
      corners,
      patches: chart24Srgb,
      frame: [0.03, 0.03, 0.03],
      behind: () => [0.2, 0.15, 0.1],
    });
    const rgb = Uint16Array.from(drawn, (v) => Math.round(65_535 * Math.min(1, Math.max(0, v))));
    const reading = readChartAt({ width, height, rgb }, corners)!;
    expect(reading.likeness).toBeGreaterThan(0.99);
    reading.codes.forEach((code, i) => {
      for (let k = 0; k < 3; k++) expect(code[k]).toBeCloseTo(Math.max(0, chart24Srgb[i]![k]!), 4);
    });
    const turned = readChartAt({ width, height, rgb }, [corners[2], corners[3], corners[0], corners[1]])!;
    expect(turned.likeness).toBeLessThan(0.7);
  });

  it("is not read where it leaves the picture", () => {
    const rgb = new Uint16Array(200 * 150 * 3);
    expect(readChartAt({ width: 200, height: 150, rgb }, corners)).toBeNull();
  });
});
