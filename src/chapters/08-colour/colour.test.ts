import { beforeAll, describe, expect, it } from "vitest";
import type { ColourResult } from "#documents/chapter-results";
import type { ChartSaid } from "#documents/said";
import type { Sitting } from "#documents/sitting";
import { readCdl } from "#formats/cdl/read-cdl";
import { applyClf } from "#formats/clf/apply-clf";
import { readClf } from "#formats/clf/read-clf";
import { parseCube } from "#formats/cube/cube";
import { sampleLut3d } from "#science/colour/lut3d";
import {
  cameraA,
  cameraB,
  chartFrom,
  chartTo,
  type FakeCamera,
  height,
  recordingOf,
  run,
  type Written,
  width,
} from "../../../test/helpers/drawn-cameras.ts";
import { sensorChart } from "../../../test/helpers/published-colour.ts";
import { colour } from "./colour.ts";

describe("colour, on a sitting of two measured sensors", () => {
  let result: ColourResult;
  let written: Written;
  beforeAll(async () => {
    ({ result, written } = await run([cameraA, cameraB]));
  });

  it("finds the chart in both cameras while it is shown, corners in order and within a tenth of a patch", () => {
    expect(result.charts.map(({ camera }) => camera)).toEqual(["A", "B"]);
    for (const [k, camera] of [cameraA, cameraB].entries()) {
      const chart = result.charts[k]!;
      expect(chart.at).toBeGreaterThanOrEqual(chartFrom);
      expect(chart.at).toBeLessThan(chartTo);
      chart.corners.forEach(([x, y], i) => {
        expect(Math.hypot(x - camera.corners![i]![0], y - camera.corners![i]![1])).toBeLessThan(3.5);
      });
    }
  });

  it("reads the patches' code values to within 0.004", () => {
    for (const [k, camera] of [cameraA, cameraB].entries()) {
      for (const { index, rgb } of result.charts[k]!.patches) {
        rgb.forEach((value, c) => {
          expect(Math.abs(value - camera.curve(camera.patches[index]![c]!))).toBeLessThan(0.004);
        });
      }
    }
  });

  it("matches B to A to 2 CIEDE2000 or less on average, and says which curves it used", () => {
    const match = result.match!;
    expect(match).toMatchObject({ from: "B", to: "A" });
    expect(match.after.mean).toBeLessThanOrEqual(2);
    expect(match.before.mean).toBeGreaterThan(2 * match.after.mean);
    expect(match.leftOut.mean).toBeGreaterThanOrEqual(match.after.mean);
    expect(match.leftOut.mean).toBeLessThanOrEqual(3);
    expect(match.model).toContain("camera A's curve learned from the chart's greys");
    expect(match.model).toContain("camera B's BT.709 by its tag");
  });

  it("writes a LUT that takes B's patches to A's code values, and one for viewing A", () => {
    const lut = parseCube(written.texts.get(result.lut!)!);
    if (lut.kind !== "3D") throw new Error("expected a 3D table");
    expect(lut.comments.join(" ")).toContain("full-range RGB code values");
    const grey = sampleLut3d(lut.lut, result.charts[1]!.patches[21]!.rgb);
    grey.forEach((value, c) => {
      expect(Math.abs(value - result.charts[0]!.patches[21]!.rgb[c]!)).toBeLessThan(0.01);
    });
    const view = parseCube(written.texts.get(result.viewLut!)!);
    if (view.kind !== "3D") throw new Error("expected a 3D table");
    // Neutral 5 of the chart, Y = 0.191, in BT.709: 1.099 × 0.191^0.45 − 0.099 = 0.423.
    const shown = sampleLut3d(view.lut, result.charts[0]!.patches[21]!.rgb);
    for (const value of shown) expect(Math.abs(value - 0.423)).toBeLessThan(0.02);
  });

  it("writes the same match as CLF and as the nearest ASC CDL, whose cost it tells", () => {
    const name = result.lut!.replace(/\.cube$/, "");
    expect(result.files).toEqual([
      result.viewLut,
      result.lut,
      `${name}.clf`,
      `${name}.cdl`,
      result.contactSheet,
    ]);
    const cube = parseCube(written.texts.get(result.lut!)!);
    if (cube.kind !== "3D") throw new Error("expected a 3D table");
    const clf = readClf(written.texts.get(`${name}.clf`)!);
    expect(clf.descriptions.join(" ")).toContain("full-range RGB code values");
    for (const { rgb } of result.charts[1]!.patches) {
      const wanted = sampleLut3d(cube.lut, rgb);
      applyClf(clf, rgb).forEach((value, c) => {
        expect(Math.abs(value - wanted[c]!)).toBeLessThan(1e-6);
      });
    }
    const match = result.match!;
    expect(match.cdl!.after.mean).toBeGreaterThan(match.after.mean);
    expect(match.cdl!.after.mean).toBeLessThan(match.before.mean);
    const [only] = readCdl(written.texts.get(`${name}.cdl`)!);
    expect(only!.cdl.slope[0]).toBeCloseTo(match.cdl!.slope[0], 5);
  });

  it("tells exposure from colour, and names each camera's white", () => {
    // B's green was drawn at 0.7 of A's: log2 0.7 = -0.51 stop.
    expect(Math.abs(result.match!.exposureStops! + 0.51)).toBeLessThan(0.1);
    expect(result.match!.beforeWithExposure!.mean).toBeGreaterThan(result.match!.before.mean);
    const { gainStops } = result.charts[1]!.white!;
    expect(Math.abs(gainStops.red - Math.log2(0.7 / 0.62))).toBeLessThan(0.05);
    expect(Math.abs(gainStops.blue - Math.log2(0.7 / 0.84))).toBeLessThan(0.05);
    // More blue than green and red: bluer than the screen's own 6504 K.
    expect(result.charts[1]!.white!.kelvin).toBeGreaterThan(7000);
  });

  it("takes stills of chart and talk, B matched through both LUTs at the same moment", () => {
    expect(written.stills.map(({ name }) => name)).toEqual([
      "a-chart.jpg",
      "a.jpg",
      "b-chart.jpg",
      "b.jpg",
      "b-matched.jpg",
    ]);
    const [aChart, a, , b, matched] = written.stills;
    expect(aChart!.luts).toEqual([result.viewLut]);
    expect(a!.at).toBeGreaterThan(chartTo);
    expect(matched!.at).toBe(b!.at);
    expect(matched!.luts).toEqual([result.lut, result.viewLut]);
  });

  it("hands over one picture of before and after: three stills, and every patch in three parts", () => {
    const sheet = written.pictures.get(result.contactSheet!)!;
    expect(result.files).toContain(result.contactSheet);
    // Dark skin lies under the first still: A's, B's as recorded, B's matched, from left to right.
    const patches = result.match!.patches;
    const cellWidth = (sheet.width - 48 - 50) / 6;
    const y = sheet.height - 24 - 4 * 94 + 42;
    for (const [k, key] of (["aRgb", "beforeRgb", "afterRgb"] as const).entries()) {
      const x = Math.round(24 + ((k + 0.5) * cellWidth) / 3);
      for (let c = 0; c < 3; c++)
        expect(sheet.rgb[(y * sheet.width + x) * 3 + c]! / 255).toBeCloseTo(patches[0]![key][c]!, 2);
    }
  });

  it("opens with a sentence that names both differences and the worst patch", () => {
    expect(colour.verdict(result)).toMatch(
      /^Camera B now agrees with camera A to \d\.\d units; as recorded they differed by \d+\.\d, and by 0\.5 stop\. .+ is worst, at \d+\.\d\.$/,
    );
  });
});

describe("colour, with corners set by hand", () => {
  const said = (camera: FakeCamera, at: number, shift = 0): ChartSaid => ({
    hash: recordingOf(camera).hash,
    at,
    corners: camera.corners!.map(([x, y]): [number, number] => [x + shift, y + shift]),
  });

  it("reads the chart just there and then, and says so; the other camera's is found as ever", async () => {
    const { result, written } = await run([cameraA, cameraB], { charts: [said(cameraB, 4)] });
    expect(result.charts.map(({ byHand }) => byHand)).toEqual([undefined, true]);
    expect(result.charts[1]).toMatchObject({ at: 4, corners: cameraB.corners, picture: { width, height } });
    expect(written.stills.find(({ name }) => name === "b-chart.jpg")!.at).toBe(4);
    expect(result.match!.after.mean).toBeLessThanOrEqual(2.2);
  });

  it("may be set in every camera, a little beside the edges", async () => {
    const { result } = await run([cameraA, cameraB], { charts: [said(cameraA, 3), said(cameraB, 3, 2)] });
    expect(result.charts.every(({ byHand }) => byHand)).toBe(true);
    expect(result.match!.after.mean).toBeLessThanOrEqual(2.5);
  });

  it("refuses corners that enclose something else, or leave the picture", async () => {
    const beside = await run([cameraA, cameraB], { charts: [said(cameraB, 9)] });
    expect(beside.result.match).toBeNull();
    expect(beside.result.findings[0]).toMatchObject({ code: "colour.corners-doubtful", weight: "stop" });
    const outside = await run([cameraA, cameraB], { charts: [said(cameraB, 4, 300)] });
    expect(outside.result.findings[0]).toMatchObject({ code: "colour.corners-outside", weight: "stop" });
    expect(outside.result.match).toBeNull();
  });
});

describe("colour, refusing rather than guessing", () => {
  it("matches nothing where one camera shows no chart, and says which", async () => {
    const { result } = await run([cameraA, { ...cameraB, corners: null }]);
    expect(result.match).toBeNull();
    expect(result.lut).toBeNull();
    expect(result.findings).toContainEqual(
      expect.objectContaining({ code: "colour.no-chart", weight: "warn" }),
    );
    expect(colour.verdict(result)).toBe(
      "The cameras were not matched. No chart was found in camera B's pictures.",
    );
  });

  it("refuses a clipped shot of the chart with the reason and the remedy", async () => {
    const bright = sensorChart(2, "D65", [1.7, 1.7, 1.7]);
    const { result } = await run([cameraA, { ...cameraB, patches: bright }]);
    expect(result.match).toBeNull();
    const finding = result.findings.find(({ code }) => code === "colour.chart-clipped")!;
    expect(finding.weight).toBe("stop");
    expect(finding.says).toContain("white 9.5");
    expect(finding.remedy).toContain("a stop less");
  });

  it("has nothing to measure without pictures, and says where they go", () => {
    expect(colour.inputs({ sitting: {} as Sitting, recordings: [], results: {} })).toEqual({
      missing: "No pictures yet. Copy the cameras' cards in Cards.",
    });
  });
});
