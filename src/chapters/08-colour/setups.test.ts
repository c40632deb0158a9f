import { describe, expect, it } from "vitest";
import { parseCube } from "#formats/cube/cube";
import { sampleLut3d } from "#science/colour/lut3d";
import type { Triple } from "#science/colour/matrix3";
import { cameraA, cameraB, type FakeCamera, run } from "../../../test/helpers/drawn-cameras.ts";
import { sensorChart } from "../../../test/helpers/published-colour.ts";
import { colour } from "./colour.ts";

describe("colour, where the chart was filmed for each of two setups", () => {
  const evening = 2000;
  const cameras: FakeCamera[] = [
    { ...cameraA, startsAt: 0 },
    { ...cameraA, take: 2, startsAt: evening, patches: sensorChart(1, "A") },
    { ...cameraB, startsAt: 0 },
    // In lamp light camera B's white was set anew.
    { ...cameraB, take: 2, startsAt: evening, patches: sensorChart(2, "A", [0.8, 0.75, 0.6]) },
  ];

  it("solves one match a setup, each serving from its chart until the next, each with its own LUT", async () => {
    const { result, written } = await run(cameras);
    expect(result.charts.map(({ camera, setup }) => [camera, setup])).toEqual([
      ["A", 1],
      ["A", 2],
      ["B", 1],
      ["B", 2],
    ]);
    expect(result.setups).toHaveLength(2);
    const [day, night] = result.setups!;
    expect(day!.from).toBeNull();
    expect(day!.to).toBe(night!.from);
    expect(night!.from).toBeGreaterThan(evening);
    expect(night!.to).toBeNull();
    expect(result.lut).toBe(day!.luts["B"]);
    expect(night!.luts["B"]).not.toBe(day!.luts["B"]);
    // Each takes its own setup's light skin to camera A's; the other's does not.
    const through = (path: string, k: number): Triple => {
      const cube = parseCube(written.texts.get(path)!);
      if (cube.kind !== "3D") throw new Error("expected a 3D table");
      return sampleLut3d(cube.lut, result.charts[k]!.patches[1]!.rgb);
    };
    const apart = (seen: Triple, k: number): number =>
      Math.hypot(...seen.map((v, c) => v - result.charts[k]!.patches[1]!.rgb[c]!));
    expect(apart(through(day!.luts["B"]!, 2), 0)).toBeLessThan(0.02);
    expect(apart(through(night!.luts["B"]!, 3), 1)).toBeLessThan(0.02);
    expect(apart(through(day!.luts["B"]!, 3), 1)).toBeGreaterThan(0.03);
    expect(colour.verdict(result)).toMatch(/From the beginning to 33:2\d: .+ From 33:2\d on: /);
  });

  it("takes two shots of one setup at other exposures for one chart, and learns the curve from both", async () => {
    const dark = sensorChart(1, "D65").map((light) => light.map((v) => 0.4 * v) as unknown as Triple);
    const { result } = await run([
      { ...cameraA, startsAt: 0 },
      { ...cameraA, take: 2, startsAt: 30, patches: dark },
      { ...cameraB, startsAt: 0 },
    ]);
    expect(result.setups).toBeUndefined();
    expect(result.charts.filter(({ forCurve }) => forCurve).map(({ path }) => path)).toEqual(["A002.mov"]);
    expect(result.match!.after.mean).toBeLessThanOrEqual(2.2);
  });
});

describe("colour, with a curve that a person gave", () => {
  it("uses it and says so, and warns where the greys contradict it", async () => {
    const { result } = await run([cameraA, cameraB], {
      colour: { curves: { A: { name: "ACEScct" }, B: { name: "BT.709" } } },
    });
    expect(result.match!.model).toContain("camera A's curve ACEScct as given, camera B's BT.709 as given");
    const doubts = result.findings.filter(({ code }) => code === "colour.curve-doubtful");
    expect(doubts.map(({ evidence }) => evidence?.where)).toEqual(["A"]);
  });
});

describe("colour, with the exposure by the sitter's face", () => {
  it("makes the faces equally bright where the chart stood in other light, and says by how much", async () => {
    /** Skin along the foot of the picture: the chart's light skin, by each sensor. */
    const face = (sensor: 1 | 2, balance: Triple) => {
      const skin = sensorChart(sensor, "D65", balance)[1]!;
      return (_x: number, y: number): Triple =>
        y > 232 ? (skin.map((v) => 0.6 * v) as unknown as Triple) : [0.03, 0.03, 0.035];
    };
    const cameras: FakeCamera[] = [
      { ...cameraA, startsAt: 0, behind: face(1, [1, 1, 1]) },
      // Camera B's chart stood in half the light that falls on the face.
      { ...cameraB, startsAt: 0, behind: face(2, [0.62, 0.7, 0.84]), light: (_x, y) => (y < 228 ? 0.5 : 1) },
    ];
    const { result } = await run(cameras, { colour: { exposure: "face" } });
    const said = /exposure by the sitter's face, ([-+][0-9.]+) stop/.exec(result.match!.model);
    expect(Math.abs(Number(said?.[1]) + 1)).toBeLessThan(0.12);
  });
});

describe("colour, where no chart was filmed", () => {
  /** Cloths and a face, side by side: each part of the picture one of the chart's published spectra, shaded. */
  const scene = (sensor: 1 | 2, balance: Triple, from: number) => {
    const lights = sensorChart(sensor, "D65", balance);
    return (x: number, y: number): Triple => {
      const index = [0, 1, 7, 8, 12, 20, 21, 22, 3, from][Math.min(9, Math.floor(x / 48))]!;
      const shade = 0.4 + (0.6 * y) / 270;
      return lights[index]!.map((v) => v * shade) as unknown as Triple;
    };
  };
  const bare: FakeCamera[] = [
    { ...cameraA, corners: null, transfer: 1, curve: cameraB.curve, behind: scene(1, [1, 1, 1], 15) },
    { ...cameraB, corners: null, behind: scene(2, [0.6, 0.7, 0.9], 13) },
  ];

  it("matches by what both cameras see at the same moments, marked as weaker, with its uncertainty", async () => {
    const { result, written } = await run(bare.map((camera) => ({ ...camera, startsAt: 0 })));
    expect(result.match).toMatchObject({ by: "scene", from: "B", to: "A", patches: [] });
    expect(result.match!.uncertainty).toBeGreaterThan(0);
    expect(result.match!.after.mean).toBeLessThan(0.6 * result.match!.before.mean);
    expect(written.texts.get(result.lut!)).toContain("No chart was filmed");
    expect(result.findings).toContainEqual(
      expect.objectContaining({ code: "colour.matched-by-scene", weight: "warn" }),
    );
    expect(colour.verdict(result)).toMatch(
      /^Camera B was matched to camera A without a chart, unsure by \d+\.\d units/,
    );
  });

  it("matches nothing by the scene where the clock does not say what was at one time", async () => {
    const { result } = await run(bare);
    expect(result.match).toBeNull();
    expect(result.findings.filter(({ code }) => code === "colour.no-chart")).toHaveLength(2);
  });
});
