import { describe, expect, it } from "vitest";
import { sensorChart } from "../../../test/helpers/published-colour.ts";
import { findCameraCurve, publishedGreys } from "./camera-curve.ts";
import { chart24Neutrals } from "./chart24.ts";
import type { NeutralSample } from "./grey-misses.ts";
import { learnCurve } from "./learned-curve.ts";
import type { Triple } from "./matrix3.ts";
import { linearToNamedLog } from "./named-log.ts";
import { recogniseCurve } from "./recognise-curve.ts";
import {
  linearToAcescct,
  linearToBt709,
  linearToHlg,
  linearToSrgb,
  luminanceToPq,
} from "./transfer-functions.ts";

/** Greys of a chart whose spectra were measured, seen by a measured sensor under D65, in another white and exposure. */
function greysThrough(toCode: (light: number) => number, gain = 0.8, shot = 0): NeutralSample[] {
  const lights = sensorChart(1, "D65", [0.9 * gain, gain, 1.1 * gain]);
  return chart24Neutrals.map((index, k) => ({
    light: publishedGreys.get(index)!,
    // What is left of rounding and noise: a few ten-thousandths, not by chance.
    code: lights[index]!.map((v, c) => toCode(v) + 0.0004 * Math.sin(7 * k + 3 * c)) as unknown as Triple,
    shot,
  }));
}

/** A log curve that no standard names, by its ST 2136-1 parameters. */
const unnamedLog = (light: number): number =>
  linearToNamedLog(
    {
      base: 10,
      logSideSlope: 0.25,
      logSideOffset: 0.55,
      linSideSlope: 1.2,
      linSideOffset: 0.012,
      linSideBreak: 0.008,
    },
    light,
  );

/** Worst of a curve's light against the true one from 2.5 % to 90 %, stops, one gain taken out. */
function worstStops(curve: { toLight: (code: number) => number }, toCode: (light: number) => number): number {
  const gain = curve.toLight(toCode(0.18)) / 0.18;
  return Math.max(
    ...[0.025, 0.05, 0.09, 0.36, 0.9].map((light) =>
      Math.abs(Math.log2(curve.toLight(toCode(light)) / gain / light)),
    ),
  );
}

describe("recogniseCurve, on the measured chart that a measured sensor sees", () => {
  it.each([
    ["BT.709", linearToBt709],
    ["sRGB", linearToSrgb],
    ["HLG", (light: number) => linearToHlg(0.3 * light)],
    ["PQ", (light: number) => luminanceToPq(150 * light)],
    ["ACEScct", linearToAcescct],
    ["gamma 2.6", (light: number) => light ** (1 / 2.6)],
  ] as const)("recognises %s by its greys, whatever white and exposure", (name, toCode) => {
    for (const gain of [0.5, 0.8]) {
      expect(recogniseCurve(greysThrough(toCode, gain))).toMatchObject({ name, known: "recognised" });
    }
  });

  it("recognises nothing in a curve that nobody published", () => {
    const contrast = (light: number): number => {
      const v = linearToSrgb(light);
      return v + 0.12 * Math.sin(2 * Math.PI * v) * -0.5;
    };
    for (const toCode of [unnamedLog, contrast]) expect(recogniseCurve(greysThrough(toCode))).toBeNull();
  });
});

describe("findCameraCurve, where the file names no curve", () => {
  it("uses a recognised curve whole, even beyond the greys", () => {
    const lights = sensorChart(1, "D65");
    const codes = lights.map((light) => light.map((v) => linearToHlg(0.3 * v)) as unknown as Triple);
    const { curve, residual } = findCameraCurve({ codes, transfer: 2 });
    expect(curve).toMatchObject({ name: "HLG", known: "recognised" });
    expect(residual).toBeNull();
    // Two stops over the chart's white, where a learned curve is a guess.
    expect(curve.toLight(linearToHlg(0.9)) / curve.toLight(linearToHlg(0.3))).toBeCloseTo(3, 6);
  });
});

describe("learnCurve, from two exposures of one chart", () => {
  it("knows the curve a stop and a half farther down than from one, without being told how far apart they are", () => {
    const bright = greysThrough(unnamedLog, 1);
    const dark = greysThrough(unnamedLog, 0.3, 1);
    const both = learnCurve([...bright, ...dark]);
    const down = (curve: { toLight: (code: number) => number }): number => {
      const gain = curve.toLight(unnamedLog(0.18)) / 0.18;
      return Math.abs(Math.log2(curve.toLight(unnamedLog(0.012)) / gain / 0.012));
    };
    expect(worstStops(both.curve, unnamedLog)).toBeLessThan(0.12);
    expect(down(both.curve)).toBeLessThan(0.15);
    expect(down(both.curve)).toBeLessThan(down(learnCurve(bright).curve));
  });
});
