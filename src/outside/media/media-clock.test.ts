import { describe, expect, it } from "vitest";
import {
  asRecording,
  click,
  findClick,
  gather,
  joined,
  scratchFolder,
  smallPicture,
  writeMovie,
} from "../../../test/helpers/made-media.ts";
import { openMediaReader } from "./media-reader.ts";
import type { MovieFormat } from "./movie-format.ts";

/*
 * One rule of time for sound and picture, whatever the container does to either. Frame 50 flashes and a click
 * sounds at the same instant; both must be read at the same local time.
 */

const scratch = scratchFolder("media-clock");
const reader = openMediaReader((recording) => recording.path);
const cutoffHz = 3000;
const flashFrame = 50;
const flashSeconds = 2;

interface Kind {
  readonly name: string;
  readonly format: MovieFormat;
  /** Largest distance between click and flash, seconds. */
  readonly within: number;
}

const pcm = { codec: "pcm_s24le", sampleRateHz: 48_000, channels: 2 } as const;
const kinds: readonly Kind[] = [
  { name: "pcm.mov", format: { video: smallPicture, sound: pcm }, within: 0.5 / 48_000 },
  {
    name: "aac.mp4",
    format: { video: smallPicture, sound: { ...pcm, codec: "aac" } },
    within: 50e-6,
  },
  { name: "opus.mkv", format: { video: smallPicture, sound: { ...pcm, codec: "opus" } }, within: 1e-3 },
  { name: "flac.mkv", format: { video: smallPicture, sound: { ...pcm, codec: "flac" } }, within: 1e-3 },
  {
    name: "aac-44100.mov",
    format: { video: { ...smallPicture, bFrames: 0 }, sound: { ...pcm, codec: "aac", sampleRateHz: 44_100 } },
    within: 50e-6,
  },
  {
    name: "prores-ntsc.mov",
    format: {
      video: {
        ...smallPicture,
        codec: "prores",
        pixelFormat: "yuv422p10le",
        frameRate: { num: 30_000, den: 1001 },
      },
      sound: pcm,
    },
    within: 0.5 / 48_000,
  },
];

/** Local times of click and flash, found in what the reader gives. */
async function clickAndFlash(path: string, sampleRateHz: number): Promise<{ click: number; flash: number }> {
  const recording = await asRecording(path);
  const blocks = await gather(reader.sound(recording, { sampleRateHz, channels: [1], blockSamples: 7000 }));
  let next = 0;
  for (const block of blocks) {
    expect(block.firstSample).toBe(next);
    next += block.channels[0]!.length;
  }
  const clickAt = findClick(joined(blocks)[0]!, sampleRateHz, cutoffHz);
  const pictures = await gather(
    reader.pictures(recording, { maxWidth: 64, startSeconds: 0, endSeconds: 100, perSecond: 1000 }),
  );
  const brightest = pictures.reduce((best, next) => (next.rgb[0]! > best.rgb[0]! ? next : best));
  return { click: clickAt, flash: brightest.atSeconds };
}

async function write(
  name: string,
  format: MovieFormat,
  starts: { picture: number; sound: number } = { picture: 0, sound: 0 },
): Promise<string> {
  const path = scratch(name);
  const { num, den } = format.video!.frameRate;
  const pictureStart = Math.round((starts.picture * num) / den) * (den / num);
  const flashAt = pictureStart + (flashFrame * den) / num;
  await writeMovie(
    path,
    { ...format, pictureStartSeconds: starts.picture, soundStartSeconds: starts.sound },
    3.5,
    {
      level: (n) => (n === flashFrame ? 0.9 : 0.2),
      sound: (t) => 0.7 * click(t + starts.sound - flashAt, cutoffHz),
    },
  );
  return path;
}

describe("one clock for sound and picture", () => {
  it.each(kinds)("$name: click and flash at the same instant", async ({ name, format, within }) => {
    const path = await write(name, format);
    const { num, den } = format.video!.frameRate;
    const found = await clickAndFlash(path, format.sound!.sampleRateHz);
    expect(Math.abs(found.click - found.flash)).toBeLessThanOrEqual(within);
    expect(found.flash).toBeCloseTo((flashFrame * den) / num, name.endsWith("mkv") ? 2 : 6);
  });

  it.each(kinds.slice(0, 3))("$name: also when the picture starts late", async ({ name, format, within }) => {
    const found = await clickAndFlash(
      await write(`late-picture-${name}`, format, { picture: 0.4, sound: 0 }),
      48_000,
    );
    expect(Math.abs(found.click - found.flash)).toBeLessThanOrEqual(within);
    expect(found.flash).toBeCloseTo(flashSeconds + 0.4, name.endsWith("mkv") ? 2 : 6);
  });

  it.each(kinds.slice(0, 3))("$name: also when the sound starts late", async ({ name, format, within }) => {
    const found = await clickAndFlash(
      await write(`late-sound-${name}`, format, { picture: 0, sound: 0.31 }),
      48_000,
    );
    expect(Math.abs(found.click - found.flash)).toBeLessThanOrEqual(within);
    expect(found.flash).toBeCloseTo(flashSeconds, name.endsWith("mkv") ? 2 : 6);
  });

  it.each([8000, 16_000, 44_100, 96_000])("holds at %i Hz", async (rate) => {
    const path = await write(`rate-${rate}.mp4`, kinds[1]!.format);
    const found = await clickAndFlash(path, rate);
    expect(Math.abs(found.click - found.flash)).toBeLessThanOrEqual(50e-6);
  });
});
