import { describe, expect, it } from "vitest";
import { sensorChart } from "../../../test/helpers/published-colour.ts";
import { matchCameras } from "./camera-match.ts";
import type { Triple } from "./matrix3.ts";
import { linearToAcescct, linearToBt709 } from "./transfer-functions.ts";

const mean = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / values.length;
const encode = (lights: readonly Triple[], curve: (light: number) => number, bits: number): Triple[] =>
  lights.map(
    (light) =>
      light.map((v) => Math.round(curve(v) * (2 ** bits - 1)) / (2 ** bits - 1)) as unknown as Triple,
  );

describe("matchCameras, on two measured sensors (spectra of the chart, sensors and lights as published)", () => {
  const cases = (["D65", "A", "LED-B3"] as const).flatMap((light) =>
    (
      [
        [1, 2],
        [2, 1],
      ] as const
    ).map(([a, b]) => ({ light, a, b })),
  );
  it.each(cases)(
    "takes sensor $b to sensor $a under $light to less than 2 on average, its curve known",
    ({ light, a, b }) => {
      const shotA = { codes: encode(sensorChart(a, light), (x) => linearToAcescct(x), 10), transfer: 2 };
      const shotB = { codes: encode(sensorChart(b, light, [0.7, 0.75, 0.9]), linearToBt709, 8), transfer: 1 };
      const t = performance.now();
      const match = matchCameras(shotA, shotB);
      console.log(
        light,
        a,
        b,
        "before",
        mean(match.before).toFixed(2),
        "after",
        mean(match.after).toFixed(2),
        Math.max(...match.after).toFixed(2),
        "lo",
        mean(match.leftOut).toFixed(2),
        match.mix.level,
        match.tried.map((t) => t.leftOut.toFixed(2)),
        match.curveA.curve.name,
        match.curveB.curve.name,
        match.curveB.tagError,
        (performance.now() - t).toFixed(0),
      );
      expect(mean(match.after)).toBeLessThan(2);
    },
  );
  it.each(cases)("learned $light $a $b", ({ light, a, b }) => {
    const shotA = { codes: encode(sensorChart(a, light), (x) => linearToAcescct(x), 10), transfer: 2 };
    const shotB = { codes: encode(sensorChart(b, light, [0.7, 0.75, 0.9]), linearToBt709, 8), transfer: 2 };
    const match = matchCameras(shotA, shotB);
    console.log(
      light,
      a,
      b,
      "before",
      mean(match.before).toFixed(2),
      "after",
      mean(match.after).toFixed(2),
      Math.max(...match.after).toFixed(2),
      "lo",
      mean(match.leftOut).toFixed(2),
      match.mix.level,
      match.tried.map((t) => t.leftOut.toFixed(2)),
      match.curveA.curve.name,
      match.curveB.curve.name,
      match.curveB.tagError,
    );
    expect(mean(match.after)).toBeLessThan(2);
    for (const x of [0.001, 0.01, 0.05, 0.18, 0.5, 1, 4])
      console.log(
        x,
        match.curveA.curve.toLight(linearToAcescct(x)).toFixed(4),
        match.curveB.curve.toLight(linearToBt709(x)).toFixed(4),
      );
  });
});
