import { describe, expect, it } from "vitest";
import type { MeasureContext } from "#documents/chapter";
import { watchResultSchema } from "#documents/chapter-results";
import type { MediaReader, SmallPicture } from "#documents/media-reader";
import type { Recording } from "#documents/recording";
import type { PictureSaid } from "#documents/said";
import { lcgNoise } from "#science/signal/lcg-noise";
import { watch } from "./watch.ts";

/*
 * An invented scene, drawn for each moment: a textured room that drifts behind a sitter who nods, film grain over
 * all. What happens to it is given by the test.
 */
const width = 320;
const height = 180;
const seconds = 40;

interface Happening {
  /** Radius of the blur of the whole picture, pixels. */
  blur?: number;
  gain?: number;
  red?: number;
  shiftX?: number;
  chart?: boolean;
  black?: boolean;
  /** The moment whose picture is shown instead. */
  frozenAt?: number;
}
type Script = (at: number) => Happening;

const texture = smooth(lcgNoise(1024 * 512, 3), 1024, 2);
const pores = lcgNoise(256 * 256, 9);
const grain = lcgNoise(1 << 18, 4);

function smooth(values: Float32Array, w: number, radius: number): Float32Array {
  let from = values;
  for (const step of [1, w]) {
    const to = new Float32Array(from.length);
    for (let i = 0; i < from.length; i++) {
      let sum = 0;
      for (let k = -radius; k <= radius; k++) sum += from[(i + k * step + from.length) % from.length]!;
      to[i] = sum / (2 * radius + 1);
    }
    from = to;
  }
  return from;
}

function draw(at: number, script: Script): SmallPicture {
  const asked = script(at);
  const happening = asked.frozenAt === undefined ? asked : script(asked.frozenAt);
  const time = asked.frozenAt ?? at;
  const { blur = 0, gain = 1, red = 1, shiftX = 0, chart = false, black = false } = happening;
  const drift = 0.91 * time + shiftX;
  const nod = 4 * Math.sin(1.3 * time) + shiftX;
  let grey = new Float32Array(width * height);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const bx = x + drift;
      const whole = Math.floor(bx);
      const part = bx - whole;
      const row = (y % 512) * 1024;
      let v =
        0.3 +
        0.9 * ((1 - part) * texture[row + (whole % 1024)]! + part * texture[row + ((whole + 1) % 1024)]!);
      const dx = (x - 0.5 * width - nod) / 60;
      const dy = (y - 0.55 * height) / 80;
      if (dx * dx + dy * dy < 1) {
        const px = Math.floor(x - nod + 256) % 256;
        const stripe = (Math.floor((x - nod + y * 0.5 + 400) / 10) & 1) * 0.14;
        v = 0.42 + stripe + 0.05 * pores[(y % 256) * 256 + px]!;
      }
      if (chart && x > 80 && x < 242 && y > 40 && y < 148) {
        const patch = Math.floor((x - 80) / 27) + 6 * Math.floor((y - 40) / 27);
        v = (x - 80) % 27 < 3 || (y - 40) % 27 < 3 ? 0.08 : 0.15 + (0.7 * ((patch * 7) % 24)) / 24;
      }
      grey[y * width + x] = v;
    }
  }
  if (blur > 0) grey = smooth(grey, width, blur) as Float32Array<ArrayBuffer>;
  const rgb = new Uint8Array(3 * grey.length);
  const offset = Math.floor(time * 7919) % 100_000;
  for (let i = 0; i < grey.length; i++) {
    const noise = 0.008 * grain[(i + offset) % grain.length]!;
    const v = black ? 0.02 : grey[i]! * gain + noise;
    rgb[3 * i] = Math.max(0, Math.min(255, 255 * v * red));
    rgb[3 * i + 1] = Math.max(0, Math.min(255, 255 * v));
    rgb[3 * i + 2] = Math.max(0, Math.min(255, 255 * v * 0.92));
  }
  return { atSeconds: at, width, height, rgb };
}

const recording: Recording = {
  hash: "xxh128:0",
  path: "B001.mp4",
  device: "B",
  kind: "camera",
  roles: [],
  probe: {
    container: "mov,mp4,m4a,3gp,3g2,mj2",
    bytes: 1,
    durationSeconds: seconds,
    picture: {
      streamIndex: 0,
      codec: "h264",
      pixelFormat: "yuv420p",
      bitDepth: 8,
      width: 1280,
      height: 720,
      frameRate: { num: 25, den: 1 },
      isVariableRate: false,
      startSeconds: 0,
      durationSeconds: seconds,
      frames: seconds * 25,
      colour: { primaries: 1, transfer: 1, matrix: 1, fullRange: false },
      rotationDegrees: 0,
      pixelAspect: { num: 1, den: 1 },
    },
    sound: null,
    timecode: null,
    timeReferenceSamples: null,
    createdAt: null,
  },
};

async function watched(
  script: Script,
  spacing = 1,
  more: Partial<Recording> = {},
  said: readonly PictureSaid[] = [],
) {
  const asked = { pictures: 0, stills: [] as number[] };
  const evenly = async function* (from: number, to: number, step: number): AsyncGenerator<SmallPicture> {
    for (let k = Math.ceil(from / step - 1e-9); k * step < to - 1e-9; k++) yield draw(k * step, script);
  };
  const media: Partial<MediaReader> = {
    keyPictures: () => evenly(0, more.readableSeconds ?? seconds, spacing),
    pictures: (_, wish) => {
      asked.pictures += (wish.endSeconds - wish.startSeconds) * wish.perSecond;
      return evenly(wish.startSeconds, wish.endSeconds, 1 / wish.perSecond);
    },
  };
  const context: Partial<MeasureContext> = {
    media: media as MediaReader,
    signal: new AbortController().signal,
    progress() {},
    async still(name, _recording, at) {
      asked.stills.push(at);
      return name;
    },
  };
  const recordings = [{ ...recording, ...more }];
  const result = await watch.measure({ recordings, said }, context as MeasureContext);
  return { result, ranges: result.recordings[0]!.ranges, asked };
}

describe("watch", () => {
  it("calls nothing a fault where a slow slider moves and the sitter nods", async () => {
    const { result, ranges } = await watched(() => ({}));
    expect(ranges).toEqual([]);
    expect(watch.verdict(result)).toBe("Camera B held its focus, frame and light throughout.");
    expect(watchResultSchema.parse(result)).toEqual(result);
    expect(result.recordings[0]!.looks).toHaveLength(seconds);
  });

  it.each([1, 2, 4])(
    "covers a lost focus of blur radius %i, with at most half a second to spare",
    async (blur) => {
      const { result, ranges, asked } = await watched((at) => (at >= 18.3 && at < 24.3 ? { blur } : {}));
      expect(ranges.map((r) => r.kind)).toEqual(["soft"]);
      expect(ranges[0]!.start).toBeLessThanOrEqual(18.3);
      expect(ranges[0]!.start).toBeGreaterThan(17.8);
      expect(ranges[0]!.end).toBeGreaterThanOrEqual(24.3);
      expect(ranges[0]!.end).toBeLessThan(24.8);
      expect(asked.stills[0]).toBeGreaterThan(18.3);
      expect(asked.stills[0]).toBeLessThan(24.3);
      // The sharp frames on either side lie where nothing was blurred.
      expect(ranges[0]!.before!.at).toBeLessThan(18.3);
      expect(ranges[0]!.after!.at).toBeGreaterThanOrEqual(24.3);
      expect(asked.pictures).toBeLessThan(40);
      expect(result.findings[0]).toMatchObject({
        code: "watch.soft",
        weight: "warn",
        says: "Camera B lost focus for 7 s at 0:17.",
      });
    },
  );

  it("lets a person call a lost focus fine, and says so", async () => {
    const script: Script = (at) => (at >= 18.3 && at < 24.3 ? { blur: 2 } : {});
    const { result, ranges } = await watched(script, 1, {}, [
      { hash: recording.hash, from: 17, to: 26, says: "fine" },
      { hash: recording.hash, from: 30, to: 32, says: "avoid" },
    ]);
    expect(ranges).toMatchObject([{ start: 30, end: 32, kind: "unwanted", said: true }]);
    expect(result.recordings[0]!.overruled).toMatchObject([{ kind: "soft" }]);
    expect(result.findings.map(({ code }) => code)).toEqual(["watch.unwanted", "watch.overruled"]);
    expect(watchResultSchema.parse(result)).toEqual(result);
  });

  it("finds the same lost focus while the exposure changes under it", async () => {
    const { ranges } = await watched((at) => ({ gain: 1 - 0.004 * at, blur: at >= 18 && at < 24 ? 3 : 0 }));
    const soft = ranges.filter((r) => r.kind === "soft");
    expect(soft).toHaveLength(1);
    expect(Math.abs(soft[0]!.start - 18) + Math.abs(soft[0]!.end - 24)).toBeLessThan(1);
  });

  it("does not call the opening chart soft, nor dark, nor drifted", async () => {
    const { ranges } = await watched((at) => (at < 5 ? { chart: true } : {}));
    expect(ranges).toEqual([]);
  });

  it("tells an exposure that steps from one that was set so", async () => {
    const { ranges } = await watched((at) => (at >= 30 && at < 36 ? { gain: 1.35 } : {}));
    expect(ranges.map((r) => r.kind)).toEqual(["bright"]);
    expect(Math.abs(ranges[0]!.start - 30) + Math.abs(ranges[0]!.end - 36)).toBeLessThan(0.6);
    const { ranges: dim } = await watched((at) => (at >= 30 && at < 36 ? { gain: 0.7 } : {}));
    expect(dim.map((r) => r.kind)).toEqual(["dark"]);
  });

  it("sees white wander", async () => {
    const { ranges } = await watched((at) => (at >= 12 && at < 20 ? { red: 1.12 } : {}));
    expect(ranges.map((r) => r.kind)).toEqual(["white-drift"]);
  });

  it("sees a frame that moves and stays, and one that is bumped and comes back", async () => {
    const moved = await watched((at) => (at > 15.5 ? { shiftX: 7 } : {}));
    expect(moved.ranges.map((r) => r.kind)).toEqual(["moved"]);
    expect(moved.ranges[0]).toMatchObject({ start: 15, end: 16 });
    const bumped = await watched((at) => (at > 20.5 && at < 21.5 ? { shiftX: 8 } : {}));
    expect(bumped.ranges.map((r) => r.kind)).toEqual(["bump"]);
  });

  it("sees black, frozen and cut-short recordings", async () => {
    const black = await watched((at) => (at >= 10 && at < 14 ? { black: true } : {}));
    expect(black.ranges.map((r) => r.kind)).toEqual(["black"]);
    const frozen = await watched((at) => (at >= 25 && at < 31 ? { frozenAt: 25 } : {}));
    expect(frozen.ranges.map((r) => r.kind)).toEqual(["frozen"]);
    const short = await watched(() => ({}), 1, { readableSeconds: 31.5 });
    expect(short.ranges.map((r) => [r.kind, r.start, r.end])).toEqual([["stopped", 31.5, seconds]]);
  });

  it("looks once a second where key frames are far apart", async () => {
    const { ranges } = await watched((at) => (at >= 18.3 && at < 22.3 ? { blur: 3 } : {}), 10);
    expect(ranges.map((r) => r.kind)).toEqual(["soft"]);
  });

  it("asks for recordings where there are none", () => {
    expect(
      watch.inputs({ recordings: [], results: {} } as unknown as Parameters<typeof watch.inputs>[0]),
    ).toEqual({
      missing: "No recording with a picture yet. Copy the cards in Cards.",
    });
  });
});
