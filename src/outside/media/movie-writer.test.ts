import { existsSync } from "node:fs";
import { mkdtemp, readdir, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { openMovieWriter } from "./movie-writer.ts";

let folder: string;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "gemel-movie-writer-"));
});
afterAll(() => rm(folder, { recursive: true }));

const bt709 = { primaries: 1, transfer: 1, matrix: 1, fullRange: false };
const small = { width: 64, height: 48, frameRate: { num: 25, den: 1 }, colour: bt709 };
const grey8 = (level: number) => [
  new Uint8Array(64 * 48).fill(level),
  new Uint8Array(32 * 24).fill(128),
  new Uint8Array(32 * 24).fill(128),
];
const grey10 = (level: number) => [
  new Uint16Array(64 * 48).fill(level),
  new Uint16Array(32 * 48).fill(512),
  new Uint16Array(32 * 48).fill(512),
];

describe("openMovieWriter", () => {
  it.each([
    ["a.mov", "prores", "yuv422p10le", "pcm_s24le"],
    ["b.mp4", "h264", "yuv420p", "aac"],
    ["c.mkv", "h264", "yuv420p", "opus"],
    ["d.mov", "h264", "yuv422p10le", "pcm_s16le"],
    ["e.mp4", "hevc", "yuv420p", "aac"],
    ["f.mkv", "h264", "yuv420p", "flac"],
  ] as const)(
    "writes %s with %s %s and %s, whole and under its name alone",
    async (name, codec, pixelFormat, sound) => {
      const path = join(folder, name);
      const writer = await openMovieWriter(path, {
        video: { ...small, codec, pixelFormat },
        sound: { codec: sound, sampleRateHz: 48_000, channels: 2 },
        timecode: "10:20:30:15",
        createdAt: "2026-05-04T09:00:00Z",
      });
      expect(existsSync(path)).toBe(false);
      for (let n = 0; n < 10; n++) {
        await writer.picture(pixelFormat === "yuv420p" ? grey8(100) : grey10(400));
        const block = new Float32Array(1920);
        await writer.sound([block, block]);
      }
      await writer.close();
      expect((await readdir(folder)).filter((entry) => entry.startsWith(name))).toEqual([name]);
    },
  );

  it("leaves nothing when it is abandoned", async () => {
    const writer = await openMovieWriter(join(folder, "given-up.mp4"), {
      video: { ...small, codec: "h264", pixelFormat: "yuv420p" },
    });
    await writer.picture(grey8(50));
    await writer.abandon();
    expect((await readdir(folder)).filter((entry) => entry.startsWith("given-up"))).toEqual([]);
  });

  it("says that the disk cannot be written to, and leaves nothing", async () => {
    await writeFile(join(folder, "in-the-way"), "a file where the folder should be");
    await expect(
      openMovieWriter(join(folder, "in-the-way", "x.mp4"), {
        video: { ...small, codec: "h264", pixelFormat: "yuv420p" },
      }),
    ).rejects.toMatchObject({ code: "DISK_WRITE_FAILED" });
  });

  it("refuses planes of another size as a fault of the calling code", async () => {
    const writer = await openMovieWriter(join(folder, "wrong.mp4"), {
      video: { ...small, codec: "h264", pixelFormat: "yuv420p" },
    });
    await expect(writer.picture([new Uint8Array(3), new Uint8Array(1), new Uint8Array(1)])).rejects.toThrow(
      TypeError,
    );
    await writer.abandon();
  });
});
