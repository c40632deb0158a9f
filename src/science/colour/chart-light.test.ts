import { describe, expect, it } from "vitest";
import { sensorChart } from "../../../test/helpers/published-colour.ts";
import { readChartLight } from "./chart-light.ts";
import type { Triple } from "./matrix3.ts";
import { linearToAcescct, linearToBt709 } from "./transfer-functions.ts";

/** The chart under light that falls by so many stops from left to right and from top to bottom. */
function shot(across: number, down: number, curve: (light: number) => number, transfer: number) {
  const codes = sensorChart(1, "D65", [0.6, 0.6, 0.6]).map((light, i) => {
    const stops = across * (0.5 - (i % 6) / 5) + down * (0.5 - Math.floor(i / 6) / 3);
    return light.map((v) => curve(v * 2 ** stops)) as unknown as Triple;
  });
  return { codes, transfer };
}

describe("readChartLight", () => {
  it.each([
    [0.8, 0],
    [0, 0.6],
    [-0.5, 0.4],
  ])(
    "reads a fall-off of %d stops across and %d down within a fifth of a stop, curve known",
    (across, down) => {
      const { fallOffStops } = readChartLight(shot(across, down, linearToBt709, 1));
      expect(Math.abs(fallOffStops - (Math.abs(across) + Math.abs(down)))).toBeLessThan(0.2);
    },
  );

  it("calls an evenly lit chart even, curve known or learned", () => {
    expect(readChartLight(shot(0, 0, linearToBt709, 1)).fallOffStops).toBeLessThan(0.2);
    expect(readChartLight(shot(0, 0, linearToAcescct, 2)).fallOffStops).toBeLessThan(0.2);
  });

  it("sees two lights of different colour on the greys", () => {
    const even = shot(0, 0, linearToBt709, 1);
    const mixed = even.codes.map((code, i) => {
      const k = 1 - 0.06 * (i % 6);
      return [code[0] * k, code[1], code[2] / k] as Triple;
    });
    expect(readChartLight(even).tintSpreadStops).toBeLessThan(0.1);
    expect(readChartLight({ codes: mixed, transfer: 1 }).tintSpreadStops).toBeGreaterThan(0.2);
  });
});
