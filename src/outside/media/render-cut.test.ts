import { readFile, rm, stat, truncate } from "node:fs/promises";
import { describe, expect, it } from "vitest";
import {
  asRecording,
  bt709,
  click,
  findClick,
  gather,
  joined,
  scratchFolder,
  smallPicture,
  writeMovie,
} from "../../../test/helpers/made-media.ts";
import { measureLoudness } from "./loudness.ts";
import { openMediaReader } from "./media-reader.ts";
import { probeRecording } from "./probe.ts";
import { clipBounds } from "./program-picture.ts";
import { writeProxy } from "./proxy.ts";
import { renderCut } from "./render-cut.ts";
import { writeSoundFile } from "./sound-file.ts";

const scratch = scratchFolder("render");
const reader = openMediaReader((recording) => recording.path);
const rate25 = { num: 25, den: 1 };

/** Frame n is grey n / 200: the number can be read back from the picture. */
const numbered = (n: number): number => n / 200;
const numberOf = (rgb: Uint8Array): number => Math.round((rgb[0]! / 255) * 200);

async function framesOf(path: string): Promise<{ number: number; at: number }[]> {
  const recording = await asRecording(path);
  const pictures = await gather(
    reader.pictures(recording, { maxWidth: 2000, startSeconds: 0, endSeconds: 1e6, perSecond: 1000 }),
  );
  return pictures.map(({ rgb, width, height, atSeconds }) => {
    const middle = 3 * (Math.floor(height / 2) * width + Math.floor(width / 2));
    return { number: numberOf(rgb.subarray(middle, middle + 3)), at: atSeconds };
  });
}

async function writeClicks(path: string, seconds: number, at: readonly number[]): Promise<void> {
  const channel = Float32Array.from({ length: seconds * 48_000 }, (_, i) =>
    at.reduce((sum, t) => sum + 0.5 * click(i / 48_000 - t, 3000), 0),
  );
  await writeSoundFile(path, { sampleRateHz: 48_000, channels: 1, bits: 24 }, [
    { firstSample: 0, channels: [channel] },
  ]);
}

describe("renderCut", () => {
  it("has each clip's frames in order, exactly as many as the program time has, and the sound in step", async () => {
    const [a, b, sound, out] = [scratch("a.mov"), scratch("b.mp4"), scratch("s.wav"), scratch("cut.mp4")];
    await writeMovie(a, { video: { ...smallPicture, width: 128, height: 72 } }, 4, { level: numbered });
    await writeMovie(b, { video: { ...smallPicture, codec: "hevc" } }, 4, { level: numbered });
    await writeClicks(sound, 10, [2.5]);
    const clips = [
      { path: a, sourceStart: 1, sourceEnd: 2, luts: [], scale: 1 },
      { path: b, sourceStart: 0.2, sourceEnd: 1.7, luts: [], scale: 1 },
      { path: a, sourceStart: 0, sourceEnd: 0.5, luts: [], scale: 1.3 },
    ];
    const told: number[] = [];
    const { frames } = await renderCut(
      out,
      clips,
      sound,
      { width: 128, height: 72, frameRate: rate25 },
      {
        crf: 10,
        onFrame: (n) => told.push(n),
      },
    );
    // 3 s at 25 frames a second; 2.5 s and 3.0 s lie on 62.5 and 75 frames.
    expect(frames).toBe(75);
    expect(told.at(-1)).toBe(75);
    const shown = await framesOf(out);
    const expected = [
      ...Array.from({ length: 25 }, (_, i) => 25 + i),
      ...Array.from({ length: 38 }, (_, i) => 5 + i),
      // The third clip begins half a frame late: on the source frame in the middle of the program frame.
      ...Array.from({ length: 12 }, (_, i) => i + 1),
    ];
    for (const [n, frame] of shown.entries()) {
      expect(Math.abs(frame.number - expected[n]!)).toBeLessThanOrEqual(1);
      expect(frame.at).toBeCloseTo(n / 25, 6);
    }
    expect(shown.length).toBe(75);
    const probe = await probeRecording(out);
    expect(probe.picture).toMatchObject({
      frames: 75,
      frameRate: rate25,
      width: 128,
      height: 72,
      startSeconds: 0,
      colour: bt709,
    });
    expect(probe.sound).toMatchObject({ codec: "aac", startSeconds: 0, sampleRateHz: 48_000 });
    expect(probe.durationSeconds).toBeCloseTo(3, 1);
    const heard = joined(await gather(reader.sound(await asRecording(out), { sampleRateHz: 48_000 })))[0]!;
    expect(findClick(heard, 48_000, 3000)).toBeCloseTo(2.5, 4);
  });

  it("joins kept parts into the same cut, and makes only the part that is missing", async () => {
    const [a, b, sound] = [scratch("parts-a.mov"), scratch("parts-b.mp4"), scratch("parts.wav")];
    await writeMovie(a, { video: smallPicture }, 4, { level: numbered });
    await writeMovie(b, { video: { ...smallPicture, codec: "hevc" } }, 4, { level: numbered });
    await writeClicks(sound, 10, [1.5]);
    const clip = (path: string, sourceStart: number, frames: number) => ({
      path,
      sourceStart,
      sourceEnd: sourceStart + frames / 25,
      luts: [],
      scale: 1,
    });
    const size = { width: 64, height: 48, frameRate: rate25 };
    const clips = [clip(a, 1, 30), clip(b, 0.2, 1), clip(a, 2.4, 7), clip(b, 1, 40)];
    const names = (list: readonly string[]): string[] => list.map((name) => scratch(`part-${name}.mp4`));
    const first = scratch("joined.mp4");
    const parts = names(["1", "2", "3", "4"]);
    await renderCut(first, clips, sound, size, { crf: 10, parts });
    const [whole, joinedFrames] = [scratch("in-one.mp4"), await framesOf(first)];
    await renderCut(whole, clips, sound, size, { crf: 10 });
    const inOne = await framesOf(whole);
    expect(joinedFrames.map(({ at }) => at)).toEqual(inOne.map(({ at }) => at));
    expect(joinedFrames.length).toBe(78);
    for (const [n, frame] of joinedFrames.entries())
      expect(Math.abs(frame.number - inOne[n]!.number)).toBeLessThanOrEqual(1);
    const heard = joined(await gather(reader.sound(await asRecording(first), { sampleRateHz: 48_000 })))[0]!;
    expect(findClick(heard, 48_000, 3000)).toBeCloseTo(1.5, 4);
    const probe = await probeRecording(first);
    expect(probe.picture).toMatchObject({ frames: 78, startSeconds: 0, frameRate: rate25, colour: bt709 });

    // The second clip is another one, and the third was cut short by a full disk: these two are made, no other.
    const made = await Promise.all(parts.map(async (part) => (await stat(part)).mtimeMs));
    await truncate(parts[2]!, 500);
    const next = [clips[0]!, clip(b, 2, 5), clips[2]!, clips[3]!];
    const nextParts = [parts[0]!, scratch("part-5.mp4"), parts[2]!, parts[3]!];
    const told: number[] = [];
    await renderCut(scratch("again.mp4"), next, sound, size, {
      crf: 10,
      parts: nextParts,
      onFrame: (n) => told.push(n),
    });
    expect(told[0]).toBe(70);
    expect(told.at(-1)).toBe(82);
    expect((await stat(parts[0]!)).mtimeMs).toBe(made[0]);
    expect((await stat(parts[3]!)).mtimeMs).toBe(made[3]);
    expect((await framesOf(scratch("again.mp4"))).map(({ number }) => number).slice(30, 35)).toEqual(
      [50, 51, 52, 53, 54].map((n) => expect.toSatisfy((x: number) => Math.abs(x - n) <= 1)),
    );

    // Made anew from nothing it is the same file.
    await Promise.all(parts.map((part) => rm(part)));
    await renderCut(scratch("joined-again.mp4"), clips, sound, size, { crf: 10, parts });
    expect(await readFile(scratch("joined-again.mp4"))).toEqual(await readFile(first));
  });

  it("encodes in one where parts do not fit together", async () => {
    const [source, sound, out] = [scratch("odd.mp4"), scratch("odd.wav"), scratch("odd-cut.mp4")];
    await writeMovie(source, { video: smallPicture }, 2, { level: numbered });
    await writeClicks(sound, 1, [0.1]);
    const clips = [0, 0.4].map((sourceStart) => ({
      path: source,
      sourceStart,
      sourceEnd: sourceStart + 0.4,
      luts: [],
      scale: 1,
    }));
    const parts = [scratch("odd-1.mp4"), scratch("odd-2.mp4")];
    // Ten frames of another size under the name of the first.
    await writeMovie(parts[0]!, { video: { ...smallPicture, width: 128, height: 96 } }, 0.4, {});
    await renderCut(out, clips, sound, { width: 64, height: 48, frameRate: rate25 }, { crf: 10, parts });
    const shown = await framesOf(out);
    expect(shown.length).toBe(20);
    for (const [n, frame] of shown.entries()) expect(Math.abs(frame.number - n)).toBeLessThanOrEqual(1);
    await expect(stat(parts[0]!)).rejects.toThrow(/ENOENT/);
  });

  it("keeps step with the sound over many clips whose lengths are no whole frames", () => {
    const clips = Array.from({ length: 1000 }, (_, i) => ({
      sourceStart: 0,
      sourceEnd: 1 + ((i * 37) % 100) / 997,
    }));
    const rate = { num: 24_000, den: 1001 };
    const bounds = clipBounds(clips, rate);
    let time = 0;
    for (const [i, clip] of clips.entries()) {
      time += clip.sourceEnd - clip.sourceStart;
      expect(Math.abs((bounds[i + 1]! * rate.den) / rate.num - time)).toBeLessThanOrEqual(
        (0.5 * rate.den) / rate.num + 1e-9,
      );
    }
  });

  it("conforms another rate by time: 50 frames a second shown at 25", async () => {
    const [source, sound, out] = [scratch("fifty.mp4"), scratch("quiet.wav"), scratch("from-fifty.mp4")];
    await writeMovie(source, { video: { ...smallPicture, frameRate: { num: 50, den: 1 } } }, 2, {
      level: numbered,
    });
    await writeClicks(sound, 3, [0.1]);
    const clips = [{ path: source, sourceStart: 0, sourceEnd: 2, luts: [], scale: 1 }];
    await renderCut(out, clips, sound, { width: 64, height: 48, frameRate: rate25 }, { crf: 10 });
    const shown = await framesOf(out);
    expect(shown.length).toBe(50);
    for (const [n, frame] of shown.entries())
      expect(Math.abs(frame.number - (2 * n + 1))).toBeLessThanOrEqual(1);
  });

  it("puts bars only where the aspect differs, and nothing is left when it is cancelled", async () => {
    const [wide, sound, out] = [scratch("wide.mp4"), scratch("bars.wav"), scratch("bars.mp4")];
    await writeMovie(wide, { video: { ...smallPicture, width: 192, height: 48 } }, 1, { level: () => 0.5 });
    await writeClicks(sound, 1, [0.5]);
    const clips = [{ path: wide, sourceStart: 0, sourceEnd: 1, luts: [], scale: 1 }];
    await renderCut(out, clips, sound, { width: 96, height: 72, frameRate: rate25 }, { crf: 10 });
    const [first] = await gather(
      reader.pictures(await asRecording(out), {
        maxWidth: 96,
        startSeconds: 0,
        endSeconds: 0.1,
        perSecond: 10,
      }),
    );
    const at = (y: number): number => first!.rgb[3 * (y * 96 + 48)]!;
    expect(at(5)).toBeLessThan(6);
    expect(at(66)).toBeLessThan(6);
    expect(Math.abs(at(36) - 128)).toBeLessThan(4);

    const controller = new AbortController();
    await expect(
      renderCut(
        scratch("given-up.mp4"),
        clips,
        sound,
        { width: 96, height: 72, frameRate: rate25 },
        {
          signal: controller.signal,
          onFrame: (n) => n === 3 && controller.abort(),
        },
      ),
    ).rejects.toMatchObject({ code: "CANCELLED" });
    await expect(probeRecording(scratch("given-up.mp4"))).rejects.toMatchObject({ code: "FILE_MISSING" });
    await expect(probeRecording(scratch("given-up.mp4.part"))).rejects.toMatchObject({
      code: "FILE_MISSING",
    });
  });

  it("keeps the loudness of the sound that it lays under", async () => {
    const [source, sound, out] = [scratch("loud-a.mp4"), scratch("loud.wav"), scratch("loud.mp4")];
    await writeMovie(source, { video: smallPicture }, 5, {});
    const tone = Float32Array.from(
      { length: 5 * 48_000 },
      (_, i) => 0.1 * Math.sin((2 * Math.PI * 997 * i) / 48_000),
    );
    await writeSoundFile(sound, { sampleRateHz: 48_000, channels: 1, bits: 24 }, [
      { firstSample: 0, channels: [tone] },
    ]);
    await renderCut(out, [{ path: source, sourceStart: 0, sourceEnd: 5, luts: [], scale: 1 }], sound, {
      width: 64,
      height: 48,
      frameRate: rate25,
    });
    const [before, after] = [await measureLoudness(sound), await measureLoudness(out)];
    expect(Math.abs(before.integrated - after.integrated)).toBeLessThan(0.1);
  });
});

describe("writeProxy", () => {
  it("has a short way to each key frame, the same clock and the wished width", async () => {
    const [source, out] = [scratch("proxy-source.mov"), scratch("proxy.mp4")];
    await writeMovie(
      source,
      {
        video: { ...smallPicture, width: 320, height: 180 },
        sound: { codec: "pcm_s24le", sampleRateHz: 48_000, channels: 1 },
        soundStartSeconds: 0.2,
      },
      4,
      { level: (n) => (n === 50 ? 0.9 : 0.2), sound: (t) => 0.5 * click(t + 0.2 - 2, 3000) },
    );
    await writeProxy(out, source, { maxWidth: 160 });
    const recording = await asRecording(out);
    expect(recording.probe.picture).toMatchObject({ width: 160, height: 90, frameRate: rate25 });
    const keys = await gather(reader.keyPictures(recording, { maxWidth: 160 }));
    for (let i = 1; i < keys.length; i++)
      expect(keys[i]!.atSeconds - keys[i - 1]!.atSeconds).toBeLessThanOrEqual(0.9);
    const heard = joined(await gather(reader.sound(recording, { sampleRateHz: 48_000 })))[0]!;
    expect(findClick(heard, 48_000, 3000)).toBeCloseTo(2, 4);
    const pictures = await gather(
      reader.pictures(recording, { maxWidth: 64, startSeconds: 0, endSeconds: 4, perSecond: 100 }),
    );
    expect(
      pictures.reduce((best, next) => (next.rgb[0]! > best.rgb[0]! ? next : best)).atSeconds,
    ).toBeCloseTo(2, 6);
  });
});
