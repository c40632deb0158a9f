import { describe, expect, it } from "vitest";
import type { Triple } from "#science/colour/matrix3";
import { linearToBt709, srgbToLinear } from "#science/colour/transfer-functions";
import { bell, chance } from "./chance.ts";
import { chart24Srgb } from "./chart-colours.ts";
import { findChartFaults, stopsOverRange } from "./chart-faults.ts";
import { drawChart } from "./draw-chart.ts";
import { findChart } from "./find-chart.ts";
import type { Point } from "./homography.ts";
import { type ChartReading, readChart } from "./read-chart.ts";

const [width, height] = [480, 270];
const corners: [Point, Point, Point, Point] = [
  [90, 40],
  [385, 52],
  [380, 246],
  [84, 230],
];
const patches = chart24Srgb.map((c) => c.map((v) => 0.85 * srgbToLinear(v)) as unknown as Triple);

interface Spoiling {
  readonly light?: (x: number, y: number) => number;
  readonly added?: (x: number, y: number) => number;
  readonly over?: (x: number, y: number) => Triple | null;
  readonly softness?: number;
}

/** The chart by a BT.709 camera with a little noise, spoiled as said, found and read. */
function read({ light, added, over, softness = 0 }: Spoiling): ChartReading {
  let linear = drawChart({
    width,
    height,
    corners,
    patches,
    frame: [0.035, 0.035, 0.035],
    behind: () => [0.2, 0.15, 0.1],
    ...(light ? { light } : {}),
    ...(over ? { over } : {}),
  });
  for (let pass = 0; pass < softness; pass++) {
    const from = linear;
    linear = from.map((v, i) => (v + (from[i - 3] ?? v) + (from[i + 3] ?? v)) / 3);
  }
  const next = chance(3);
  const rgb = new Uint16Array(linear.length);
  for (let i = 0; i < rgb.length; i++) {
    const [x, y] = [Math.floor(i / 3) % width, Math.floor(i / 3 / width)];
    const code = linearToBt709(linear[i]! + (added?.(x, y) ?? 0)) + 0.004 * bell(next);
    rgb[i] = Math.round(65_535 * Math.min(1, Math.max(0, code)));
  }
  return readChart({ width, height, rgb }, findChart({ width, height, rgb })!.place)!;
}

const faultsOf = (reading: ChartReading) =>
  findChartFaults({ codes: reading.codes, transfer: 1, unusable: reading.hidden ?? [] }, reading.frame!);

describe("what is told of a shot of the chart", () => {
  it("finds nothing covered, glaring, shaded or soft on a good one", () => {
    const reading = read({});
    expect(reading.hidden).toEqual([]);
    expect(reading.edgeWidth).toBeLessThan(0.15);
    expect(faultsOf(reading)).toEqual({ glare: null, shadow: null });
  });

  it("takes a slope of light for neither shadow nor glare", () => {
    const reading = read({ light: (x) => 2 ** (-0.7 * (x / width)) });
    expect(faultsOf(reading)).toEqual({ glare: null, shadow: null });
  });

  it("names the patch under a thumb and fills its code in from the rest", () => {
    const clean = read({});
    const thumb = (x: number, y: number): Triple | null =>
      Math.hypot((x - 75) / 70, (y - 240) / 42) < 1 ? [0.42, 0.25, 0.17] : null;
    const reading = read({ over: thumb });
    expect(reading.hidden).toEqual([18]);
    for (let c = 0; c < 3; c++)
      expect(Math.abs(reading.codes[18]![c]! - clean.codes[18]![c]!)).toBeLessThan(0.04);
  });

  it("finds a reflection that lifts the frame, and where", () => {
    // About the crossing of the frame between the first two columns and rows.
    const reading = read({
      added: (x, y) => 0.12 * Math.exp(-(((x - 140) / 30) ** 2) - ((y - 92) / 30) ** 2),
    });
    const { glare } = faultsOf(reading);
    expect([0, 1, 6, 7]).toContain(glare!.patch);
    expect(glare!.partOfWhite).toBeGreaterThan(0.06);
  });

  it("finds the edge of a shadow, its depth and its side", () => {
    const { shadow } = faultsOf(read({ light: (_, y) => (y > 140 ? 0.65 : 1) }));
    expect(shadow!.stops).toBeGreaterThan(0.35);
    expect(shadow!.stops).toBeLessThan(0.9);
    expect(shadow!.patches.every((i) => i >= 12)).toBe(true);
  });

  it("measures how far edges spread", () => {
    expect(read({ softness: 40 }).edgeWidth).toBeGreaterThan(0.2);
  });

  it("says by how many stops white lies over the range", () => {
    const codes = (gain: number): Triple[] =>
      chart24Srgb.map(
        (c) => c.map((v) => Math.min(1, linearToBt709(gain * srgbToLinear(v)))) as unknown as Triple,
      );
    expect(stopsOverRange(codes(1), new Set())).toBeLessThan(0.15);
    // White of the chart is 0.885: at a gain of 1.6 half a stop above the range.
    expect(Math.abs(stopsOverRange(codes(1.6), new Set([18])) - Math.log2(1.6 * 0.885))).toBeLessThan(0.2);
  });
});
