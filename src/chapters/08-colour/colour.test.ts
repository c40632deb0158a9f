import { beforeAll, describe, expect, it } from "vitest";
import type { MeasureContext } from "#documents/chapter";
import { type ColourResult, colourResultSchema } from "#documents/chapter-results";
import type { DeepPicture, SmallPicture } from "#documents/media-reader";
import type { Recording } from "#documents/recording";
import type { ChartSaid } from "#documents/said";
import type { Sitting } from "#documents/sitting";
import { readCdl } from "#formats/cdl/read-cdl";
import { applyClf } from "#formats/clf/apply-clf";
import { readClf } from "#formats/clf/read-clf";
import { parseCube } from "#formats/cube/cube";
import { sampleLut3d } from "#science/colour/lut3d";
import type { Triple } from "#science/colour/matrix3";
import { linearToBt709 } from "#science/colour/transfer-functions";
import { drawChart } from "#science/vision/draw-chart";
import type { Point } from "#science/vision/homography";
import { sensorChart } from "../../../test/helpers/published-colour.ts";
import { colour } from "./colour.ts";

/*
 * A sitting of arrays: two measured sensors see the chart's published spectra under published lights, each through
 * its own curve; chart, frame and ground are drawn, coded and made noisy. No file is read.
 */

const width = 720;
const height = 404;
const chartFrom = 2;
const chartTo = 5;
const length = 11;

interface FakeCamera {
  readonly device: string;
  readonly patches: readonly Triple[];
  readonly curve: (light: number) => number;
  readonly transfer: number;
  readonly corners: [Point, Point, Point, Point] | null;
  readonly noise: number;
  readonly light?: (x: number, y: number) => number;
}

const demoLog = (light: number): number => 0.095 * Math.log2(Math.max(1.5 * light, -0.004) + 0.015) + 0.614;

const cameraA: FakeCamera = {
  device: "A",
  patches: sensorChart(1, "D65"),
  curve: demoLog,
  transfer: 2,
  corners: [
    [225, 112],
    [480, 127],
    [465, 292],
    [217, 277],
  ],
  noise: 0.004,
};
const cameraB: FakeCamera = {
  device: "B",
  patches: sensorChart(2, "D65", [0.62, 0.7, 0.84]),
  curve: linearToBt709,
  transfer: 1,
  corners: [
    [525, 315],
    [285, 300],
    [300, 135],
    [532, 150],
  ],
  noise: 0.006,
};

function recordingOf({ device, transfer }: FakeCamera): Recording {
  return {
    hash: `xxh128:${device.repeat(32)}`,
    path: `${device}001.mov`,
    device,
    kind: "camera",
    roles: [],
    probe: {
      container: "mov,mp4,m4a,3gp,3g2,mj2",
      bytes: 1,
      durationSeconds: length,
      picture: {
        streamIndex: 0,
        codec: "prores",
        pixelFormat: "yuv422p10le",
        bitDepth: 10,
        width,
        height,
        frameRate: { num: 25, den: 1 },
        isVariableRate: false,
        startSeconds: 0,
        durationSeconds: length,
        frames: length * 25,
        colour: { primaries: 1, transfer, matrix: 1, fullRange: false },
        rotationDegrees: 0,
        pixelAspect: { num: 1, den: 1 },
      },
      sound: null,
      timecode: null,
      timeReferenceSamples: null,
      createdAt: null,
    },
  };
}

interface Drawn {
  readonly chart: Float32Array;
  readonly bare: Float32Array;
}
const drawings = new Map<FakeCamera, Drawn>();

/** Code values without noise: with the chart and without. Drawn once a camera. */
function draw(camera: FakeCamera): Drawn {
  const known = drawings.get(camera);
  if (known) return known;
  const behind = (x: number, y: number): Triple => {
    const wood = 0.12 + 0.05 * Math.sin(x / 40) * Math.cos(y / 70);
    return [wood, 0.8 * wood, 0.6 * wood];
  };
  const off: [Point, Point, Point, Point] = [
    [-900, -900],
    [-800, -900],
    [-800, -830],
    [-900, -830],
  ];
  const make = (corners: [Point, Point, Point, Point]): Float32Array =>
    drawChart({
      width,
      height,
      corners,
      patches: camera.patches,
      frame: [0.03, 0.03, 0.03],
      behind,
      ...(camera.light ? { light: camera.light } : {}),
    }).map(camera.curve);
  const bare = make(off);
  const drawn = { bare, chart: camera.corners ? make(camera.corners) : bare };
  drawings.set(camera, drawn);
  return drawn;
}

interface Written {
  readonly texts: Map<string, string>;
  readonly pictures: Map<
    string,
    { readonly width: number; readonly height: number; readonly rgb: Uint8Array }
  >;
  readonly stills: { name: string; at: number; luts: readonly string[] }[];
}

function fakeContext(cameras: readonly FakeCamera[]): { context: MeasureContext; written: Written } {
  const drawn = new Map(cameras.map((camera) => [camera.device, { camera, pictures: draw(camera) }]));
  const written: Written = { texts: new Map(), pictures: new Map(), stills: [] };
  let state = 12345;
  const chance = (): number => {
    state = (Math.imul(state, 1103515245) + 12345) >>> 0;
    return state / 2 ** 32;
  };
  // Sum of three: near enough to a bell for a sensor's noise. A prime length, so that no two frames start alike.
  const noise = Float32Array.from({ length: 100_003 }, () => 2 * (chance() + chance() + chance() - 1.5));
  function at<T extends Uint8Array | Uint16Array>(
    recording: Recording,
    seconds: number,
    out: T,
    full: number,
  ): T {
    const { camera, pictures } = drawn.get(recording.device)!;
    const from = seconds >= chartFrom && seconds < chartTo ? pictures.chart : pictures.bare;
    const start = Math.floor(chance() * noise.length);
    for (let i = 0; i < out.length; i++) {
      const grain = camera.noise * noise[(start + i) % noise.length]!;
      out[i] = Math.min(full, Math.max(0, Math.round(full * (from[i]! + grain))));
    }
    return out;
  }
  async function* keys(recording: Recording): AsyncGenerator<SmallPicture> {
    for (let t = 0; t < length; t++) {
      yield { atSeconds: t, width, height, rgb: at(recording, t, new Uint8Array(width * height * 3), 255) };
    }
  }
  async function* frames(recording: Recording, times: readonly number[]): AsyncGenerator<DeepPicture> {
    for (const t of times) {
      yield {
        atSeconds: t,
        width,
        height,
        rgb: at(recording, t, new Uint16Array(width * height * 3), 65_535),
      };
    }
  }
  const refuse = (): never => {
    throw new Error("not asked of this chapter");
  };
  const context: MeasureContext = {
    media: { sound: refuse, keyPictures: keys, pictures: (recording) => keys(recording), framesAt: frames },
    signal: { aborted: false, reason: undefined, throwIfAborted: () => {} } as unknown as AbortSignal,
    progress: () => {},
    speech: refuse,
    loudness: refuse,
    writeText: async (name, text) => {
      written.texts.set(`measured/colour/${name}`, text);
      return `measured/colour/${name}`;
    },
    writeBytes: refuse,
    writeSound: refuse,
    writePicture: async (name, picture) => {
      written.pictures.set(`measured/colour/${name}`, picture);
      return `measured/colour/${name}`;
    },
    still: async (name, _recording, seconds, wish) => {
      written.stills.push({ name, at: seconds, luts: wish.luts ?? [] });
      return `measured/colour/${name}`;
    },
    renderCut: refuse,
    madeSound: refuse,
    readMadeText: async (path) => written.texts.get(path)!,
    copyMade: refuse,
  };
  return { context, written };
}

async function run(
  cameras: readonly FakeCamera[],
  charts: readonly ChartSaid[] = [],
): Promise<{ result: ColourResult; written: Written }> {
  const { context, written } = fakeContext(cameras);
  const inputs = colour.inputs({
    sitting: { charts: [...charts] } as Partial<Sitting> as Sitting,
    recordings: cameras.map(recordingOf),
    results: {},
  });
  if ("missing" in inputs) throw new Error(inputs.missing);
  const result = await colour.measure(inputs, context);
  return { result: colourResultSchema.parse(result), written };
}

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
        expect(Math.hypot(x - camera.corners![i]![0], y - camera.corners![i]![1])).toBeLessThan(5);
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
    const { result, written } = await run([cameraA, cameraB], [said(cameraB, 4)]);
    expect(result.charts.map(({ byHand }) => byHand)).toEqual([undefined, true]);
    expect(result.charts[1]).toMatchObject({ at: 4, corners: cameraB.corners, picture: { width, height } });
    expect(written.stills.find(({ name }) => name === "b-chart.jpg")!.at).toBe(4);
    expect(result.match!.after.mean).toBeLessThanOrEqual(2);
  });

  it("may be set in every camera, a little beside the edges", async () => {
    const { result } = await run([cameraA, cameraB], [said(cameraA, 3), said(cameraB, 3, 2)]);
    expect(result.charts.every(({ byHand }) => byHand)).toBe(true);
    expect(result.match!.after.mean).toBeLessThanOrEqual(2.5);
  });

  it("refuses corners that enclose something else, or leave the picture", async () => {
    const beside = await run([cameraA, cameraB], [said(cameraB, 9)]);
    expect(beside.result.match).toBeNull();
    expect(beside.result.findings[0]).toMatchObject({ code: "colour.corners-doubtful", weight: "stop" });
    const outside = await run([cameraA, cameraB], [said(cameraB, 4, 300)]);
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
