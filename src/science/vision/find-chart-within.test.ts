import { describe, expect, it } from "vitest";
import { blockLook, changedArea } from "./block-look.ts";
import { chartCorners } from "./chart-place.ts";
import { chartlessTrial, chartTrial } from "./chart-trials.ts";
import { findChartWithin } from "./find-chart-within.ts";

const size = { width: 640, height: 360 };
const least = { width: 256, height: 144 };

describe("what changed between looks, and the chart in it", () => {
  const trial = chartTrial(5003, { ...size, hard: true });
  const bare = chartlessTrial(3, size);
  // The ground everywhere, and the chart with some of its own ground laid into it.
  const [xs, ys] = [trial.corners.map(([x]) => x), trial.corners.map(([, y]) => y)];
  const [left, right] = [Math.floor(Math.min(...xs)) - 6, Math.ceil(Math.max(...xs)) + 6];
  const [top, low] = [Math.floor(Math.min(...ys)) - 6, Math.ceil(Math.max(...ys)) + 6];
  const shown = { ...size, rgb: bare.rgb.slice() };
  for (let y = Math.max(0, top); y < Math.min(size.height, low); y++) {
    const from = (y * size.width + Math.max(0, left)) * 3;
    const to = (y * size.width + Math.min(size.width, right)) * 3;
    shown.rgb.set(trial.picture.rgb.subarray(from, to), from);
  }
  const before = blockLook({ ...bare, atSeconds: 0 });

  it("is a part that holds all of what came in, and the chart is found there in the whole picture's pixels", () => {
    const area = changedArea([before], blockLook({ ...shown, atSeconds: 1 }), size, least)!;
    expect(area.left).toBeLessThanOrEqual(Math.max(0, left));
    expect(area.top).toBeLessThanOrEqual(Math.max(0, top));
    expect(area.left + area.width).toBeGreaterThanOrEqual(Math.min(size.width, right));
    expect(area.top + area.height).toBeGreaterThanOrEqual(Math.min(size.height, low));
    const found = findChartWithin(shown, area)!;
    const patch = Math.hypot(...[0, 1].map((k) => trial.corners[1]![k]! - trial.corners[0]![k]!)) / 6;
    chartCorners(found.place).forEach(([x, y], k) => {
      const [u, v] = trial.corners[k]!;
      expect(Math.hypot(x - u, y - v)).toBeLessThan(0.1 * patch);
    });
  });

  it("finds the whole chart where the part cuts it", () => {
    const width = Math.round(right - 0.2 * (right - left));
    const found = findChartWithin(shown, { left: 0, top: 0, width: Math.min(width, 440), height: 360 })!;
    expect(found.outside).toBeUndefined();
    const [x, y] = chartCorners(found.place)[0];
    expect(Math.hypot(x - trial.corners[0][0], y - trial.corners[0][1])).toBeLessThan(3);
  });

  it("is nothing where only noise differs, and keeps to the picture at its edges", () => {
    expect(changedArea([before], { ...before, at: 1 }, size, least)).toBeNull();
    const corner = { at: 1, codes: before.codes.map((v, i) => (i < 3 ? v + 0.1 : v)) };
    expect(changedArea([before], corner, size, least)).toEqual({ left: 0, top: 0, ...least });
    expect(changedArea([before], corner, { width: 100, height: 60 }, least)).toEqual({
      left: 0,
      top: 0,
      width: 100,
      height: 60,
    });
  });
});
