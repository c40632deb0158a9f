import { colour } from "#colour/colour";
import type { MeasureContext } from "#documents/chapter";
import { type ColourResult, colourResultSchema } from "#documents/chapter-results";
import type { DeepPicture, SmallPicture } from "#documents/media-reader";
import type { Recording } from "#documents/recording";
import type { Sitting } from "#documents/sitting";
import type { Triple } from "#science/colour/matrix3";
import { linearToBt709 } from "#science/colour/transfer-functions";
import { drawChart } from "#science/vision/draw-chart";
import type { Point } from "#science/vision/homography";
import { sensorChart } from "./published-colour.ts";

/*
 * Cameras of arrays: two measured sensors see the chart's published spectra under published lights, each through
 * its own curve; chart, frame and ground are drawn, coded and made noisy. No file is read.
 */

export const width = 480;
export const height = 270;
export const chartFrom = 2;
export const chartTo = 5;
const length = 11;

export interface FakeCamera {
  readonly device: string;
  /** Of its file; the first where left out. */
  readonly take?: number;
  /** Sitting time of its first frame, as the clock says; not placed where left out. */
  readonly startsAt?: number;
  /** What lies behind: linear light at a place. */
  readonly behind?: (x: number, y: number) => Triple;
  readonly patches: readonly Triple[];
  readonly curve: (light: number) => number;
  readonly transfer: number;
  readonly corners: [Point, Point, Point, Point] | null;
  readonly noise: number;
  readonly light?: (x: number, y: number) => number;
}

const demoLog = (light: number): number => 0.095 * Math.log2(Math.max(1.5 * light, -0.004) + 0.015) + 0.614;

export const cameraA: FakeCamera = {
  device: "A",
  patches: sensorChart(1, "D65"),
  curve: demoLog,
  transfer: 2,
  corners: [
    [150, 75],
    [320, 85],
    [310, 195],
    [145, 185],
  ],
  noise: 0.004,
};
export const cameraB: FakeCamera = {
  device: "B",
  patches: sensorChart(2, "D65", [0.62, 0.7, 0.84]),
  curve: linearToBt709,
  transfer: 1,
  corners: [
    [350, 210],
    [190, 200],
    [200, 90],
    [355, 100],
  ],
  noise: 0.006,
};

export function recordingOf({ device, transfer, take = 1 }: FakeCamera): Recording {
  return {
    hash: `xxh128:${`${device}${take}`.repeat(16)}`,
    path: `${device}00${take}.mov`,
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
  const wood = (x: number, y: number): Triple => {
    const light = 0.12 + 0.05 * Math.sin(x / 40) * Math.cos(y / 70);
    return [light, 0.8 * light, 0.6 * light];
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
      behind: camera.behind ?? wood,
      ...(camera.light ? { light: camera.light } : {}),
    }).map(camera.curve);
  const bare = make(off);
  const drawn = { bare, chart: camera.corners ? make(camera.corners) : bare };
  drawings.set(camera, drawn);
  return drawn;
}

export interface Written {
  readonly texts: Map<string, string>;
  readonly pictures: Map<
    string,
    { readonly width: number; readonly height: number; readonly rgb: Uint8Array }
  >;
  readonly stills: { name: string; at: number; luts: readonly string[] }[];
}

function fakeContext(cameras: readonly FakeCamera[]): { context: MeasureContext; written: Written } {
  const drawn = new Map(
    cameras.map((camera) => [recordingOf(camera).hash, { camera, pictures: draw(camera) }]),
  );
  const written: Written = { texts: new Map(), pictures: new Map(), stills: [] };
  let state = 12345;
  const chance = (): number => {
    state = (Math.imul(state, 1103515245) + 12345) >>> 0;
    return state / 2 ** 32;
  };
  // Sum of three: near enough to a bell for a sensor's noise. A prime length, so that no two frames start alike.
  const noise = Float32Array.from({ length: 100_003 }, () => 2 * (chance() + chance() + chance() - 1.5));
  const codesOf = (recording: Recording, seconds: number): { codes: Float32Array; grain: number } => {
    const { camera, pictures } = drawn.get(recording.hash)!;
    const isShown = seconds >= chartFrom && seconds < chartTo;
    return { codes: isShown ? pictures.chart : pictures.bare, grain: camera.noise };
  };
  // One function a kind of array: shared, it would run several times slower.
  const small = (recording: Recording, seconds: number): Uint8Array => {
    const { codes, grain } = codesOf(recording, seconds);
    const out = new Uint8Array(codes.length);
    let k = Math.floor(chance() * noise.length);
    for (let i = 0; i < out.length; i++) {
      out[i] = Math.min(255, Math.max(0, 255 * (codes[i]! + grain * noise[k]!) + 0.5));
      if (++k === noise.length) k = 0;
    }
    return out;
  };
  const deep = (recording: Recording, seconds: number): Uint16Array => {
    const { codes, grain } = codesOf(recording, seconds);
    const out = new Uint16Array(codes.length);
    let k = Math.floor(chance() * noise.length);
    for (let i = 0; i < out.length; i++) {
      out[i] = Math.min(65_535, Math.max(0, 65_535 * (codes[i]! + grain * noise[k]!) + 0.5));
      if (++k === noise.length) k = 0;
    }
    return out;
  };
  async function* keys(recording: Recording): AsyncGenerator<SmallPicture> {
    for (let t = 0; t < length; t++) yield { atSeconds: t, width, height, rgb: small(recording, t) };
  }
  async function* frames(recording: Recording, times: readonly number[]): AsyncGenerator<DeepPicture> {
    for (const t of times) yield { atSeconds: t, width, height, rgb: deep(recording, t) };
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
    readMadeText: refuse,
    copyMade: refuse,
  };
  return { context, written };
}

/** Measures the cameras' colour; what a person says besides, and the clock where a camera says when it starts. */
export async function run(
  cameras: readonly FakeCamera[],
  said: Partial<Pick<Sitting, "charts" | "colour">> = {},
): Promise<{ result: ColourResult; written: Written }> {
  const { context, written } = fakeContext(cameras);
  const placed = cameras.filter(({ startsAt }) => startsAt !== undefined);
  const clock = {
    recordings: placed.map((camera) => ({
      hash: recordingOf(camera).hash,
      offset: camera.startsAt!,
      ratePpm: 0,
      pictureOffset: camera.startsAt!,
    })),
  };
  const inputs = colour.inputs({
    sitting: said as Sitting,
    recordings: cameras.map(recordingOf),
    results: placed.length > 0 ? { clock: clock as never } : {},
  });
  if ("missing" in inputs) throw new Error(inputs.missing);
  const result = await colour.measure(inputs, context);
  return { result: colourResultSchema.parse(result), written };
}
