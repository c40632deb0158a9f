import { describe, expect, it } from "vitest";
import { sensorChart } from "../../../test/helpers/published-colour.ts";
import { type CameraMatch, matchCameras } from "./camera-match.ts";
import { throughCurve } from "./chart-shot.ts";
import { chooseLutSize, measureLutAgreement } from "./lut-agreement.ts";
import type { Triple } from "./matrix3.ts";
import { linearToAcescct, linearToBt709 } from "./transfer-functions.ts";

const mean = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / values.length;

/** Code values of patches read as the mean of many noisy pixels: what rounding leaves is a little noise. */
function encoded(lights: readonly Triple[], curve: (light: number) => number, noise = 0.0004): Triple[] {
  let state = 7;
  const chance = (): number => {
    state = (Math.imul(state, 1103515245) + 12345) >>> 0;
    return state / 2 ** 32 - 0.5;
  };
  return lights.map((light) => light.map((v) => curve(v) + 2 * noise * chance()) as unknown as Triple);
}

/** BT.709 below 0.6, bent over above. */
const withKnee = (light: number): number => {
  const from = linearToBt709(0.6);
  return light < 0.6 ? linearToBt709(light) : from + 0.23 * (1 - Math.exp(-(light - 0.6) / 0.38));
};

const balance: Triple = [0.7, 0.75, 0.9];
function match(light: string, transferB: number, curveB = linearToBt709, white = balance): CameraMatch {
  return matchCameras(
    { codes: encoded(sensorChart(1, light), linearToBt709), transfer: 1 },
    { codes: encoded(sensorChart(2, light, white), curveB), transfer: transferB },
  );
}

describe("matchCameras, on two measured sensors that see the chart's published spectra", () => {
  // Published sensors, chart and light; 2.00 (D65) and 1.86 (A) are what an unrounded 3×3 leaves between them,
  // computed with NumPy from the same files.
  it.each([
    ["D65", 2.1],
    ["A", 2.0],
  ])("leaves about what a 3×3 can under %s, curves known", (light, most) => {
    const solved = match(light, 1);
    expect(mean(solved.after)).toBeLessThan(most);
    expect(mean(solved.before)).toBeGreaterThan(4 * mean(solved.after));
    expect(mean(solved.leftOut)).toBeGreaterThan(mean(solved.after));
  });

  it("recognises a logarithmic curve by the greys where the file does not say which it is", () => {
    const lights = sensorChart(1, "D65");
    const solved = matchCameras(
      { codes: encoded(lights, linearToAcescct), transfer: 2 },
      { codes: encoded(sensorChart(2, "D65", balance), linearToBt709), transfer: 1 },
    );
    expect(solved.curveA.curve).toMatchObject({ name: "ACEScct", known: "recognised" });
    expect(mean(solved.after)).toBeLessThan(2);
    // Within 0.1 stop from two stops under mid grey to white, one gain taken out.
    const { toLight } = solved.curveA.curve;
    const gain = toLight(linearToAcescct(0.18)) / 0.18;
    for (const light of [0.045, 0.09, 0.36, 0.9]) {
      expect(Math.abs(Math.log2(toLight(linearToAcescct(light)) / gain / light))).toBeLessThan(0.1);
    }
  });

  it("bends a tagged curve to a knee that the greys show", () => {
    const solved = match("D65", 1, withKnee, [0.95, 1, 1.05]);
    expect(solved.curveB.curve.name).toContain("bent");
    expect(solved.curveB.tagRefused).toBe(false);
    expect(solved.after[18]).toBeLessThan(2.5);
  });

  it("goes by the greys where they contradict the tag", () => {
    const solved = matchCameras(
      { codes: encoded(sensorChart(1, "D65"), linearToBt709), transfer: 1 },
      { codes: encoded(sensorChart(2, "D65", balance), linearToAcescct), transfer: 1 },
    );
    expect(solved.curveB.tagRefused).toBe(true);
    expect(solved.curveB.curve).toMatchObject({ name: "ACEScct", known: "recognised" });
  });

  it("keeps greys grey at every exposure", () => {
    const solved = match("D65", 1);
    for (const k of [0.05, 0.2, 0.5]) {
      const [r, g, b] = balance;
      const out = solved.transform([linearToBt709(r * k), linearToBt709(g * k), linearToBt709(b * k)]);
      expect(Math.max(...out) - Math.min(...out)).toBeLessThan(0.01);
    }
  });

  it("agrees with its LUT within 0.25 CIEDE2000 at the 95th percentile and 1 at worst", () => {
    // A sensor half-way between the two: the second one's mix is steeper than any camera's that is sold as one.
    const [one, two] = [sensorChart(1, "D65"), sensorChart(2, "D65", balance)];
    const between = one.map((light, i) => light.map((v, c) => 0.5 * v * balance[c]! + 0.5 * two[i]![c]!));
    const solved = matchCameras(
      { codes: encoded(one, linearToAcescct), transfer: 2 },
      { codes: encoded(between as unknown as Triple[], linearToBt709), transfer: 1 },
    );
    const toLab = (code: Triple): Triple => solved.view.toLab(throughCurve(solved.curveA.curve, code));
    const agreement = measureLutAgreement(chooseLutSize(solved.transform, toLab), solved.transform, toLab);
    expect(agreement.percentile95).toBeLessThanOrEqual(0.25);
    expect(agreement.worst).toBeLessThanOrEqual(1);
  });
});
