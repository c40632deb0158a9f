import { describe, expect, it } from "vitest";
import {
  bt709,
  greyPlanes,
  scratchFolder,
  smallPicture,
  writeMovie,
} from "../../../test/helpers/made-media.ts";
import { openMovieWriter } from "./movie-writer.ts";
import { probeRecording } from "./probe.ts";
import { writeSoundFile } from "./sound-file.ts";

const scratch = scratchFolder("probe");
const pcm = { codec: "pcm_s24le", sampleRateHz: 48_000, channels: 2 } as const;

describe("probeRecording", () => {
  it("tells all of a camera's MOV", async () => {
    const path = scratch("camera.mov");
    const video = {
      ...smallPicture,
      codec: "h264",
      pixelFormat: "yuv422p10le",
      frameRate: { num: 24_000, den: 1001 },
      // [H.273] Tables 2 to 4: BT.2020 primaries, HLG transfer, BT.2020 non-constant luminance.
      colour: { primaries: 9, transfer: 18, matrix: 9, fullRange: false },
    } as const;
    await writeMovie(
      path,
      { video, sound: pcm, timecode: "10:20:30:15", createdAt: "2026-05-04T09:00:00Z" },
      2,
      {},
    );
    const probe = await probeRecording(path);
    expect(probe).toMatchObject({
      container: "mov,mp4,m4a,3gp,3g2,mj2",
      picture: {
        codec: "h264",
        pixelFormat: "yuv422p10le",
        bitDepth: 10,
        width: 64,
        height: 48,
        frameRate: { num: 24_000, den: 1001 },
        isVariableRate: false,
        startSeconds: 0,
        frames: 48,
        colour: video.colour,
        rotationDegrees: 0,
        pixelAspect: { num: 1, den: 1 },
      },
      sound: { codec: "pcm_s24le", sampleRateHz: 48_000, channels: 2, startSeconds: 0 },
      timecode: "10:20:30:15",
      timeReferenceSamples: null,
      createdAt: "2026-05-04T09:00:00.000Z",
    });
    expect(probe.sound!.durationSeconds).toBeCloseTo(2, 6);
    expect(probe.picture!.durationSeconds).toBeCloseTo(2.002, 6);
    expect(probe.durationSeconds).toBeCloseTo(2.002, 6);
  });

  it("keeps a drop-frame label as written", async () => {
    const path = scratch("drop.mov");
    const video = { ...smallPicture, frameRate: { num: 30_000, den: 1001 } };
    await writeMovie(path, { video, timecode: "01:00:00;02" }, 1, {});
    expect((await probeRecording(path)).timecode).toBe("01:00:00;02");
  });

  it.each([
    // The muxer presents a late stream's priming as the silence that it is: 1024 samples of AAC.
    ["late-sound.mov", { soundStartSeconds: 0.31 }, 0, 0.31],
    [
      "late-sound.mp4",
      { soundStartSeconds: 0.31, sound: { ...pcm, codec: "aac" as const } },
      0,
      0.31 - 1024 / 48_000,
    ],
    ["late-picture.mov", { pictureStartSeconds: 0.4 }, 0.4, 0],
  ])("%s: starts after the edit list", async (name, format, picture, sound) => {
    const path = scratch(name);
    await writeMovie(path, { video: smallPicture, sound: pcm, ...format }, 2, {});
    const probe = await probeRecording(path);
    expect(probe.picture!.startSeconds).toBeCloseTo(picture, 4);
    expect(probe.sound!.startSeconds).toBeCloseTo(sound, 4);
  });

  it("local time 0 is the first of either, where both start late", async () => {
    const path = scratch("both-late.mkv");
    await writeMovie(
      path,
      {
        video: smallPicture,
        sound: { ...pcm, codec: "flac" },
        pictureStartSeconds: 2,
        soundStartSeconds: 1.5,
      },
      2,
      {},
    );
    const probe = await probeRecording(path);
    expect(probe.sound!.startSeconds).toBe(0);
    expect(probe.picture!.startSeconds).toBeCloseTo(0.5, 2);
  });

  it("reads a broadcast WAV's time reference", async () => {
    const path = scratch("recorder.wav");
    await writeSoundFile(
      path,
      { sampleRateHz: 48_000, channels: 1, bits: 24, timeReferenceSamples: 1_786_752_000 },
      [{ firstSample: 0, channels: [new Float32Array(48_000)] }],
    );
    const probe = await probeRecording(path);
    expect(probe).toMatchObject({
      container: "wav",
      picture: null,
      timeReferenceSamples: 1_786_752_000,
      durationSeconds: 1,
    });
  });

  it.each(["mov", "mkv"])("a variable rate is told from a constant one in %s", async (ending) => {
    const constant = scratch(`constant.${ending}`);
    await writeMovie(constant, { video: { ...smallPicture, frameRate: { num: 30_000, den: 1001 } } }, 8, {});
    expect((await probeRecording(constant)).picture).toMatchObject({
      isVariableRate: false,
      frameRate: { num: 30_000, den: 1001 },
    });

    const variable = scratch(`variable.${ending}`);
    const writer = await openMovieWriter(variable, {
      video: { ...smallPicture, frameRate: { num: 60, den: 1 } },
    });
    for (let n = 0; n < 120; n++)
      await writer.picture(greyPlanes(smallPicture, (n % 10) / 10), n % 3 === 0 ? 3 : 1);
    await writer.close();
    const probe = await probeRecording(variable);
    expect(probe.picture!.isVariableRate).toBe(true);
    // 200 ticks of 1/60 s hold 120 frames.
    expect(probe.picture!.frameRate.num / probe.picture!.frameRate.den).toBeCloseTo(36, 0);
  });

  it.each([0, 90, 180, 270])("a turn of %i° asked for by the container", async (rotationDegrees) => {
    const path = scratch(`turned-${rotationDegrees}.mp4`);
    const writer = await openMovieWriter(path, { video: { ...smallPicture, rotationDegrees } });
    for (let n = 0; n < 5; n++) await writer.picture(greyPlanes(smallPicture, 0.5));
    await writer.close();
    const probe = await probeRecording(path);
    expect(probe.picture).toMatchObject({ rotationDegrees, width: 64, height: 48, colour: bt709 });
  });
});
