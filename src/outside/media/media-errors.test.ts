import { execFileSync } from "node:child_process";
import { mkdir, readFile, truncate, writeFile } from "node:fs/promises";
import { constants } from "node:os";
import { describe, expect, it } from "vitest";
import {
  asRecording,
  gather,
  scratchFolder,
  smallPicture,
  writeMovie,
} from "../../../test/helpers/made-media.ts";
import { LibraryFault } from "./library.ts";
import { measureLoudness } from "./loudness.ts";
import { explainWriting } from "./media-errors.ts";
import { openMediaReader } from "./media-reader.ts";
import { probeRecording } from "./probe.ts";
import { readableSeconds } from "./readable-extent.ts";

const scratch = scratchFolder("media-errors");
const reader = openMediaReader((recording) => recording.path);
const sound = { codec: "aac", sampleRateHz: 48_000, channels: 1 } as const;

/** A movie whose pictures differ, so that its data has some size. */
async function busyMovie(
  path: string,
  seconds: number,
  format: Partial<Parameters<typeof writeMovie>[1]> = {},
): Promise<void> {
  await writeMovie(path, { video: { ...smallPicture, gopFrames: 25, crf: 20 }, sound, ...format }, seconds, {
    level: (n) => ((n * 37) % 100) / 100,
    sound: (t) => 0.3 * Math.sin(2 * Math.PI * 440 * t),
  });
}

async function cutTo(path: string, share: number): Promise<void> {
  await truncate(path, Math.round((await readFile(path)).length * share));
}

describe("a file that cannot be used is told in one sentence each of what, why and what to do", () => {
  const texts: readonly (readonly [string, string | Uint8Array, string])[] = [
    ["notes.mp4", "The tide mill, take two. The miller laughs.\n".repeat(50), "a text file"],
    ["page.mov", "<!doctype html><html><body>no</body></html>", "a web page"],
    ["list.mp4", "#EXTM3U\n#EXTINF:10,\nhttp://127.0.0.1:9/a.ts\n", "a text file"],
    ["data.json.mp4", '{"kind":"x"}', "a JSON document"],
    ["zeros.mp4", new Uint8Array(5000), "a file of zeros"],
    ["picture.mov", Uint8Array.from([0xff, 0xd8, 0xff, 0xe0, ...new Array(500).fill(7)]), "a JPEG picture"],
  ];
  it.each(texts)("%s", async (name, content, what) => {
    await writeFile(scratch(name), content);
    await expect(probeRecording(scratch(name))).rejects.toMatchObject({
      code: "MEDIA_NOT_RECOGNISED",
      facts: { seemsToBe: what },
      advice: { happened: expect.stringContaining(name) },
    });
  });

  it("an MP4 that lost its index is not called unknown", async () => {
    const path = scratch("no-index.mp4");
    await busyMovie(path, 4);
    await cutTo(path, 0.5);
    await expect(probeRecording(path)).rejects.toMatchObject({
      code: "MEDIA_NO_INDEX",
      advice: { happened: "no-index.mp4 was cut off before its index was written." },
    });
  });

  it("camera raw names the proxy to make", async () => {
    await writeFile(
      scratch("take.r3d"),
      new Uint8Array(4096).map((_, i) => (i * 31) & 255),
    );
    await expect(probeRecording(scratch("take.r3d"))).rejects.toMatchObject({
      code: "MEDIA_CAMERA_RAW",
      advice: { doNext: expect.stringContaining("take.mov") },
    });
  });

  it("a missing file, an empty one, a folder", async () => {
    await writeFile(scratch("empty.mp4"), "");
    await mkdir(scratch("folder.mp4"));
    await expect(probeRecording(scratch("nowhere.mp4"))).rejects.toMatchObject({ code: "FILE_MISSING" });
    await expect(probeRecording(scratch("empty.mp4"))).rejects.toMatchObject({
      code: "MEDIA_NOT_RECOGNISED",
      facts: { seemsToBe: "an empty file" },
    });
    await expect(probeRecording(scratch("folder.mp4"))).rejects.toMatchObject({
      facts: { seemsToBe: "a folder" },
    });
  });

  it("an index whose data is gone", async () => {
    const path = scratch("index-only.mp4");
    await busyMovie(path, 4, { indexFirst: true });
    const bytes = await readFile(path);
    await writeFile(path, bytes.subarray(0, bytes.indexOf("mdat") + 8));
    await expect(probeRecording(path)).rejects.toMatchObject({ code: "MEDIA_DECODE_FAILED" });
  });

  it("a pipe is not waited for", async () => {
    execFileSync("mkfifo", [scratch("pipe.mp4")]);
    await expect(probeRecording(scratch("pipe.mp4"))).rejects.toMatchObject({
      facts: { seemsToBe: "a device or a pipe" },
    });
  });

  it.runIf(process.getuid?.() !== 0)("a file without permission", async () => {
    await writeFile(scratch("locked.mp4"), "x", { mode: 0 });
    await expect(probeRecording(scratch("locked.mp4"))).rejects.toMatchObject({ code: "FILE_NOT_READABLE" });
  });

  it.each([
    ["ENOSPC", "DISK_FULL"],
    ["EIO", "DISK_WRITE_FAILED"],
    ["EINVAL", "MEDIA_ENCODE_FAILED"],
  ] as const)("%s from the library while writing is %s", (system, code) => {
    const cause = new LibraryFault(-constants.errno[system], "write");
    expect(explainWriting("cut.mp4", cause)).toMatchObject({ code, facts: { step: "write" } });
    expect(explainWriting("cut.mp4", cause).advice.happened).toContain("cut.mp4");
  });

  it("loudness of a file without sound", async () => {
    const path = scratch("mute.mp4");
    await writeMovie(path, { video: smallPicture }, 1, {});
    await expect(measureLoudness(path)).rejects.toMatchObject({ code: "MEDIA_NO_SOUND" });
  });
});

describe("a file that reads up to a point is used that far", () => {
  it.each([
    ["whole.mp4", { indexFirst: true }],
    ["whole.mov", {}],
    ["whole.mkv", { sound: { ...sound, codec: "opus" as const } }],
    ["whole-pcm.mov", { sound: { ...sound, codec: "pcm_s24le" as const } }],
    ["late-sound.mov", { soundStartSeconds: 1 }],
  ])("%s is whole", async (name, format) => {
    const path = scratch(name);
    await busyMovie(path, 12, format);
    const probe = await probeRecording(path);
    expect(await readableSeconds(path, probe)).toBe(probe.durationSeconds);
  });

  it.each([0.9, 0.6, 0.25])("an MP4 whose data is cut to %d reads to the cut", async (share) => {
    const path = scratch(`cut-${share}.mp4`);
    await busyMovie(path, 20, { indexFirst: true });
    const whole = await probeRecording(path);
    await cutTo(path, share);
    const probe = await probeRecording(path);
    expect(probe.durationSeconds).toBeCloseTo(whole.durationSeconds, 6);
    const readable = await readableSeconds(path, probe);
    const recording = { ...(await asRecording(path)), readableSeconds: readable };
    let lastPicture = 0;
    for await (const picture of reader.pictures(recording, {
      maxWidth: 64,
      startSeconds: 0,
      endSeconds: 100,
      perSecond: 100,
    })) {
      lastPicture = picture.atSeconds + 0.04;
    }
    let lastSample = 0;
    for await (const block of reader.sound(recording, { sampleRateHz: 48_000 })) {
      lastSample = (block.firstSample + block.channels[0]!.length) / 48_000;
    }
    expect(readable).toBeGreaterThan(20 * share - 2);
    expect(readable).toBeLessThan(20 * share + 1);
    expect(Math.abs(readable - Math.min(lastPicture, lastSample))).toBeLessThan(0.25);
  });

  it("a hole in the middle comes as silence and everything after it stays in place", async () => {
    const path = scratch("hole.mkv");
    await busyMovie(path, 10, { sound: { ...sound, codec: "flac" } });
    const whole = await asRecording(path);
    const read = async (): Promise<Float32Array> => {
      const out = new Float32Array(480_000);
      for await (const block of reader.sound(whole, { sampleRateHz: 48_000, endSeconds: 10 })) {
        out.set(block.channels[0]!, block.firstSample);
      }
      return out;
    };
    const before = await read();
    const bytes = await readFile(path);
    bytes.fill(0x55, Math.round(bytes.length * 0.4), Math.round(bytes.length * 0.45));
    await writeFile(path, bytes);
    const after = await read();
    let different = 0;
    for (let i = 0; i < before.length; i++) if (before[i] !== after[i]) different++;
    expect(different).toBeGreaterThan(1000);
    expect(different).toBeLessThan(150_000);
    expect(after.subarray(400_000)).toEqual(before.subarray(400_000));
  });

  it("damage never ends in anything but frames or advice", async () => {
    const path = scratch("mutated.mp4");
    await busyMovie(path, 3, { indexFirst: true });
    const original = await readFile(path);
    let seed = 7;
    const random = (): number => (seed = (Math.imul(seed, 1_103_515_245) + 12_345) >>> 0) / 2 ** 32;
    for (let round = 0; round < 25; round++) {
      const bytes = Buffer.from(original);
      for (let i = 0; i < 20; i++) bytes[Math.floor(random() * bytes.length)] = Math.floor(random() * 256);
      await writeFile(path, bytes);
      const fresh = openMediaReader((recording) => recording.path);
      try {
        const recording = await asRecording(path);
        await readableSeconds(path, recording.probe);
        if (recording.probe.picture) await gather(fresh.keyPictures(recording, { maxWidth: 64 }));
        if (recording.probe.sound) await gather(fresh.sound(recording, { sampleRateHz: 8000 }));
      } catch (cause) {
        expect(cause, `round ${round}`).toHaveProperty("advice");
      }
    }
  });
});
