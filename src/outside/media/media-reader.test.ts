import { describe, expect, it } from "vitest";
import {
  asRecording,
  flatPlanes,
  gather,
  joined,
  scratchFolder,
  smallPicture,
  writeMovie,
} from "../../../test/helpers/made-media.ts";
import { writeMonoTracks } from "../../../test/helpers/mono-tracks.ts";
import { openMediaReader } from "./media-reader.ts";
import { openMovieWriter } from "./movie-writer.ts";
import { writeSoundFile } from "./sound-file.ts";

const scratch = scratchFolder("media-reader");
const reader = openMediaReader((recording) => recording.path);

/** Luma weights as printed: ITU-R BT.601-7, 2.5.1; BT.709-6, item 3.2; BT.2020-2, Table 4. */
const weights: Readonly<Record<number, readonly [kr: number, kb: number]>> = {
  6: [0.299, 0.114],
  1: [0.2126, 0.0722],
  9: [0.2627, 0.0593],
};

/** R, G and B of a code value triple, by the defining equations of the same documents, inverted. */
function rgbOf(
  codes: readonly [number, number, number],
  matrix: number,
  bits: number,
  fullRange: boolean,
): number[] {
  const [kr, kb] = weights[matrix]!;
  const kg = 1 - kr - kb;
  const unit = 2 ** (bits - 8);
  const [y, cb, cr] = fullRange
    ? [
        codes[0] / (2 ** bits - 1),
        (codes[1] - 128 * unit) / (2 ** bits - 1),
        (codes[2] - 128 * unit) / (2 ** bits - 1),
      ]
    : [(codes[0] / unit - 16) / 219, (codes[1] / unit - 128) / 224, (codes[2] / unit - 128) / 224];
  const r = y + 2 * (1 - kr) * cr;
  const b = y + 2 * (1 - kb) * cb;
  return [r, (y - kr * r - kb * b) / kg, b].map((value) => Math.min(1, Math.max(0, value)));
}

describe("framesAt, code values against ITU-R BT.601, BT.709 and BT.2020", () => {
  const colours: readonly (readonly [number, number, number])[] = [
    [120, 100, 170],
    [60, 140, 110],
    [200, 128, 128],
    [16, 128, 128],
    [235, 128, 128],
    [90, 170, 100],
  ];
  const cases = [1, 6, 9].flatMap((matrix) =>
    [8, 10].flatMap((bits) => [false, true].map((fullRange) => ({ matrix, bits, fullRange }))),
  );

  it.each(cases)("matrix $matrix, $bits bits, full range $fullRange", async ({ matrix, bits, fullRange }) => {
    const path = scratch(`rgb-${matrix}-${bits}-${fullRange}.mov`);
    const video = {
      ...smallPicture,
      pixelFormat: bits === 8 ? ("yuv420p" as const) : ("yuv422p10le" as const),
      colour: { primaries: 1, transfer: 1, matrix, fullRange },
      crf: 0,
      bFrames: 0,
    };
    const scale = bits === 8 ? 1 : 4;
    const writer = await openMovieWriter(path, { video });
    for (const [y, u, v] of colours) await writer.picture(flatPlanes(video, y * scale, u * scale, v * scale));
    await writer.close();
    const recording = await asRecording(path);
    expect(recording.probe.picture).toMatchObject({ colour: { matrix, fullRange }, bitDepth: bits });
    const frames = await gather(
      reader.framesAt(
        recording,
        colours.map((_, n) => n / 25),
      ),
    );
    for (const [n, [y, u, v]] of colours.entries()) {
      const expected = rgbOf([y * scale, u * scale, v * scale], matrix, bits, fullRange);
      const { rgb, width, height } = frames[n]!;
      expect([width, height, rgb.length]).toEqual([64, 48, 64 * 48 * 3]);
      for (const at of [0, 3 * (20 * 64 + 30), rgb.length - 3]) {
        for (let c = 0; c < 3; c++) {
          expect(Math.abs(rgb[at + c]! / 65_535 - expected[c]!)).toBeLessThanOrEqual(1 / 1023);
        }
      }
    }
  });

  it.each([
    [720, 1],
    [576, 6],
  ])("an untagged picture of %i lines is read by matrix %i", async (height, matrix) => {
    const path = scratch(`untagged-${height}.mov`);
    const colour = { primaries: 2, transfer: 2, matrix: 2, fullRange: false };
    const video = { ...smallPicture, height, colour, crf: 0 };
    const writer = await openMovieWriter(path, { video });
    await writer.picture(flatPlanes(video, 120, 100, 170));
    await writer.close();
    const recording = await asRecording(path);
    expect(recording.probe.picture?.colour.matrix).toBe(2);
    const [frame] = await gather(reader.framesAt(recording, [0]));
    const expected = rgbOf([120, 100, 170], matrix, 8, false);
    for (let c = 0; c < 3; c++)
      expect(Math.abs(frame!.rgb[c]! / 65_535 - expected[c]!)).toBeLessThanOrEqual(1 / 1023);
  });

  it("small pictures have the same colour in 8 bits, at odd sizes too", async () => {
    const path = scratch("small.mov");
    const video = { ...smallPicture, width: 200, height: 114, crf: 0 };
    const writer = await openMovieWriter(path, { video });
    await writer.picture(flatPlanes(video, 120, 100, 170));
    await writer.close();
    const [picture] = await gather(reader.keyPictures(await asRecording(path), { maxWidth: 75 }));
    expect([picture!.width, picture!.height]).toEqual([75, 43]);
    const expected = rgbOf([120, 100, 170], 1, 8, false);
    for (let c = 0; c < 3; c++)
      expect(Math.abs(picture!.rgb[c]! - 255 * expected[c]!)).toBeLessThanOrEqual(0.51);
  });
});

describe("framesAt, the frame on screen", () => {
  const frames = 200;
  const numberOf = (rgb: Uint16Array): number => Math.round((rgb[0]! / 65_535) * 219);
  const make = async (name: string, video: Parameters<typeof writeMovie>[1]["video"], start = 0) => {
    const path = scratch(name);
    await writeMovie(
      path,
      {
        video: video!,
        pictureStartSeconds: start,
        ...(start ? { sound: { codec: "pcm_s16le", sampleRateHz: 48_000, channels: 1 } } : {}),
      },
      (frames * video!.frameRate.den) / video!.frameRate.num,
      { level: (n) => n / 219 },
    );
    return asRecording(path);
  };

  it.each([
    ["long-gop.mp4", { ...smallPicture, gopFrames: 60, bFrames: 3 }],
    ["intra.mov", { ...smallPicture, codec: "prores", pixelFormat: "yuv422p10le" }],
    ["ntsc.mp4", { ...smallPicture, frameRate: { num: 30_000, den: 1001 }, gopFrames: 45 }],
    ["rounded.mkv", { ...smallPicture, frameRate: { num: 24_000, den: 1001 }, gopFrames: 45 }],
    ["hevc.mp4", { ...smallPicture, codec: "hevc", gopFrames: 50 }],
  ] as const)("%s: exact at frame starts, inside frames, in any order", async (name, video) => {
    const recording = await make(name, video);
    const { num, den } = video.frameRate;
    const ascending = Array.from({ length: 40 }, (_, i) => i * 5);
    const scattered = [150, 3, 80, 80, 199, 0, 61, 60, 59, 120];
    for (const wanted of [ascending, scattered]) {
      const times = wanted.map((n, i) => (n + (i % 3 === 0 ? 0 : i % 3 === 1 ? 0.5 : 0.93)) * (den / num));
      const got = await gather(reader.framesAt(recording, times));
      expect(got.map((frame) => numberOf(frame.rgb))).toEqual(wanted);
      for (const [i, frame] of got.entries())
        expect(frame.atSeconds).toBeCloseTo((wanted[i]! * den) / num, name.endsWith("mkv") ? 2 : 6);
    }
  });

  it("shows the first frame before it begins and the last one after it ends", async () => {
    const recording = await make("late.mov", smallPicture, 0.4);
    const got = await gather(reader.framesAt(recording, [0.1, 0.4, 0.45, 100]));
    expect(got.map((frame) => numberOf(frame.rgb))).toEqual([0, 0, 1, 199]);
    expect(got[0]!.atSeconds).toBeCloseTo(0.4, 6);
  });
});

describe("keyPictures", () => {
  it.each([
    ["keys.mp4", { ...smallPicture, gopFrames: 25 }, 25],
    ["keys.mkv", { ...smallPicture, gopFrames: 25 }, 25],
    // Every picture is a key frame: thinned to one in 0.4 s.
    ["intra.mov", { ...smallPicture, codec: "prores", pixelFormat: "yuv422p10le" }, 10],
    ["intra.mkv", { ...smallPicture, gopFrames: 1 }, 10],
  ] as const)("%s: key frames alone, in order, over a range", async (name, video, spacing) => {
    const path = scratch(name);
    // One level throughout: the encoder sets key frames of its own where a picture changes.
    await writeMovie(path, { video }, 8, { level: () => 0.5 });
    const recording = await asRecording(path);
    const frames = async (wish: { startSeconds?: number; endSeconds?: number }): Promise<number[]> =>
      (await gather(reader.keyPictures(recording, { maxWidth: 32, ...wish }))).map(({ atSeconds }) =>
        Math.round(atSeconds * 25),
      );
    const all = Array.from({ length: 200 / spacing }, (_, i) => i * spacing);
    expect(await frames({})).toEqual(all);
    expect(await frames({ startSeconds: 2, endSeconds: 4 })).toEqual(all.filter((n) => n >= 50 && n < 100));
  });
});

describe("pictures", () => {
  it("gives every frame of [start, end), thinned as wished", async () => {
    const path = scratch("every.mp4");
    await writeMovie(path, { video: { ...smallPicture, gopFrames: 50 } }, 12, { level: (n) => n / 320 });
    const recording = await asRecording(path);
    const times = async (startSeconds: number, endSeconds: number, perSecond: number): Promise<number[]> =>
      (await gather(reader.pictures(recording, { maxWidth: 64, startSeconds, endSeconds, perSecond }))).map(
        ({ atSeconds }) => Math.round(atSeconds * 25),
      );
    expect(await times(1, 2, 100)).toEqual(Array.from({ length: 25 }, (_, i) => 25 + i));
    expect(await times(1.01, 1.2, 100)).toEqual([26, 27, 28, 29]);
    expect(await times(0, 2, 5)).toEqual([0, 5, 10, 15, 20, 25, 30, 35, 40, 45]);
    expect(await times(0, 12, 0.2)).toEqual([0, 125, 250]);
    expect(await times(20, 30, 5)).toEqual([]);
  });
});

describe("a reader that is left early", () => {
  it("frees what it holds, under any name a file can have", async () => {
    const path = scratch("it's 50% [of] a \\ name, with: everything; in 'it.mov");
    const sound = { codec: "pcm_s24le", sampleRateHz: 48_000, channels: 1 } as const;
    await writeMovie(path, { video: smallPicture, sound }, 4, { level: (n) => n / 219 });
    const recording = await asRecording(path);
    for (let round = 0; round < 5; round++) {
      for await (const block of reader.sound(recording, { sampleRateHz: 16_000, blockSamples: 100 })) {
        expect(block.channels[0]!.length).toBe(100);
        break;
      }
      for await (const picture of reader.keyPictures(recording, { maxWidth: 32 })) {
        expect(picture.width).toBe(32);
        break;
      }
      for await (const frame of reader.framesAt(recording, [3, 1])) {
        expect(frame.atSeconds).toBeCloseTo(3, 6);
        break;
      }
    }
  });
});

describe("pictures as displayed", () => {
  it("are turned clockwise as the container asks, small and deep alike", async () => {
    const left = (format: { width: number; height: number }) => {
      const luma = new Uint8Array(format.width * format.height).fill(40);
      for (let y = 0; y < format.height; y++)
        luma.fill(200, y * format.width, y * format.width + format.width / 2);
      return [luma, new Uint8Array(luma.length / 4).fill(128), new Uint8Array(luma.length / 4).fill(128)];
    };
    // Where the bright half lies after the turn, as [x, y] of a bright and of a dark place, in parts of the size.
    for (const [rotationDegrees, bright, dark] of [
      [0, [0.1, 0.5], [0.9, 0.5]],
      [90, [0.5, 0.1], [0.5, 0.9]],
      [180, [0.9, 0.5], [0.1, 0.5]],
      [270, [0.5, 0.9], [0.5, 0.1]],
    ] as const) {
      const path = scratch(`turn-${rotationDegrees}.mov`);
      const video = { ...smallPicture, rotationDegrees };
      const writer = await openMovieWriter(path, { video });
      await writer.picture(left(video));
      await writer.close();
      const recording = await asRecording(path);
      const [small] = await gather(reader.keyPictures(recording, { maxWidth: 1000 }));
      const [deep] = await gather(reader.framesAt(recording, [0]));
      for (const [picture, white] of [
        [small!, 255],
        [deep!, 65_535],
      ] as const) {
        expect([picture.width, picture.height]).toEqual(rotationDegrees % 180 === 0 ? [64, 48] : [48, 64]);
        const at = ([x, y]: readonly [number, number]): number =>
          picture.rgb[3 * (Math.floor(y * picture.height) * picture.width + Math.floor(x * picture.width))]! /
          white;
        expect(at(bright)).toBeGreaterThan(0.7);
        expect(at(dark)).toBeLessThan(0.2);
      }
    }
  });
});

describe("a recorder that keeps a track a microphone", () => {
  it("has as many channels as mono tracks", async () => {
    const path = scratch("tracks.mov");
    await writeMonoTracks(path, 3, 48_000, (t, track) => (track + 1) * 0.1 * Math.sign(Math.sin(20 * t)));
    const recording = await asRecording(path);
    expect(recording.probe.sound).toMatchObject({ channels: 3, sampleRateHz: 48_000, codec: "pcm_s16le" });
    const channels = joined(await gather(reader.sound(recording, { sampleRateHz: 48_000 })));
    expect(channels.map((channel) => [channel.length, Number(channel[100]!.toFixed(3))])).toEqual([
      [48_000, 0.1],
      [48_000, 0.2],
      [48_000, 0.3],
    ]);
    const [third] = joined(
      await gather(reader.sound(recording, { sampleRateHz: 48_000, channels: [3], startSeconds: 0.5 })),
    );
    expect(third).toEqual(channels[2]!.subarray(24_000));
  });
});

describe("sound", () => {
  const noise = (n: number): number => ((Math.imul(n + 1, 2_654_435_761) >>> 8) / 2 ** 23 - 1) * 0.5;
  const make = async (name: string): Promise<Awaited<ReturnType<typeof asRecording>>> => {
    const path = scratch(name);
    const sound = {
      codec: name.endsWith("mp4") ? "aac" : name.endsWith("mkv") ? "opus" : "pcm_s24le",
      sampleRateHz: 48_000,
      channels: 2,
    } as const;
    await writeMovie(path, { sound }, 20, { sound: (t, c) => noise(Math.round(t * 48_000) * 2 + c) });
    return asRecording(path);
  };

  it("gives PCM back bit for bit, channels by number, and their mean", async () => {
    const recording = await make("bits.mov");
    const [left, right] = joined(await gather(reader.sound(recording, { sampleRateHz: 48_000 })));
    const [alone] = joined(await gather(reader.sound(recording, { sampleRateHz: 48_000, channels: [2] })));
    const [mix] = joined(await gather(reader.sound(recording, { sampleRateHz: 48_000, channels: "mix" })));
    expect(left!.length).toBe(960_000);
    for (let i = 0; i < 960_000; i += 997) {
      expect(left![i]).toBe(Math.round(noise(2 * i) * 2 ** 23) / 2 ** 23);
      expect(alone![i]).toBe(right![i]);
      expect(mix![i]).toBeCloseTo((left![i]! + right![i]!) / 2, 6);
    }
  });

  it.each([
    ["range.mov", 48_000],
    ["range.mov", 8000],
    ["range.mov", 44_100],
    ["range.mp4", 48_000],
    ["range.mp4", 16_000],
    ["range.mkv", 48_000],
  ])("a range of %s at %i Hz is the same stretch of the whole", async (name, sampleRateHz) => {
    const recording = await make(name);
    const [whole] = joined(await gather(reader.sound(recording, { sampleRateHz, channels: [1] })));
    for (const [startSeconds, endSeconds] of [
      [0, 0.1],
      [7.123, 8.4567],
      [15.5, 19],
      [19.9, 30],
    ] as const) {
      const blocks = await gather(
        reader.sound(recording, {
          sampleRateHz,
          channels: [1],
          startSeconds,
          endSeconds,
          blockSamples: 3000,
        }),
      );
      const first = Math.round(startSeconds * sampleRateHz);
      const end = Math.min(whole!.length, Math.round(endSeconds * sampleRateHz));
      expect(blocks[0]!.firstSample).toBe(first);
      expect(blocks.slice(0, -1).every((block) => block.channels[0]!.length === 3000)).toBe(true);
      const [part] = joined(blocks);
      expect(part!.length).toBe(end - first);
      let worst = 0;
      for (let i = 0; i < part!.length; i++)
        worst = Math.max(worst, Math.abs(part![i]! - whole![first + i]!));
      expect(worst).toBeLessThan(name.endsWith("mkv") ? 2e-3 : 1e-5);
    }
  });

  it("says which channels there are when another is asked for", async () => {
    const recording = await make("channels.mov");
    await expect(
      gather(reader.sound(recording, { sampleRateHz: 48_000, channels: [3] })),
    ).rejects.toMatchObject({ code: "USAGE" });
  });

  it("holds one block at a time: memory stays bounded over a long file", async () => {
    const path = scratch("long.wav");
    const block = new Float32Array(480_000).fill(0.25);
    const minutes = 6;
    await writeSoundFile(
      path,
      { sampleRateHz: 48_000, channels: 2, bits: 24 },
      (function* () {
        for (let i = 0; i < minutes * 6; i++) yield { firstSample: i * 480_000, channels: [block, block] };
      })(),
    );
    const recording = await asRecording(path);
    const before = process.memoryUsage().rss;
    let most = before;
    let samples = 0;
    for await (const part of reader.sound(recording, { sampleRateHz: 48_000 })) {
      samples += part.channels[0]!.length;
      most = Math.max(most, process.memoryUsage().rss);
    }
    expect(samples).toBe(minutes * 60 * 48_000);
    // The whole would be 138 MB of floats.
    expect((most - before) / 1e6).toBeLessThan(90);
  });

  it("a recording without sound or picture says so", async () => {
    const silent = scratch("no-sound.mp4");
    await writeMovie(silent, { video: smallPicture }, 1, {});
    const recording = await asRecording(silent);
    expect(recording.probe.sound).toBeNull();
    await expect(gather(reader.sound(recording, { sampleRateHz: 8000 }))).rejects.toMatchObject({
      code: "MEDIA_NO_SOUND",
    });
    const blind = await asRecording(scratch("bits.mov"));
    await expect(gather(reader.framesAt(blind, [0]))).rejects.toMatchObject({ code: "MEDIA_NO_PICTURE" });
    await expect(gather(reader.keyPictures(blind, { maxWidth: 100 }))).rejects.toMatchObject({
      code: "MEDIA_NO_PICTURE",
    });
  });
});
