import { readFile } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import { beforeAll, describe, expect, it } from "vitest";
import type { SoundBlock } from "#documents/media-reader";
import { scratchFolder } from "../../../test/helpers/made-media.ts";
import { measureLoudness } from "./loudness.ts";
import { writeSoundFile } from "./sound-file.ts";

/*
 * EBU Tech 3341 (v4.0, 2023), minimum requirements test signals 1 to 6, 15 to 17 and 19: recipes, expected values
 * and tolerances as in the document's table; `test/published/loudness` holds what an independent open library
 * reads from the same recipes.
 */

const scratch = scratchFolder("loudness");
const rate = 48_000;

/** Steps of a 1000 Hz sine: dBFS peak of each channel, seconds. */
type Step = readonly [levels: readonly number[], seconds: number];

function* tone(steps: readonly Step[]): Generator<SoundBlock> {
  let at = 0;
  for (const [levels, seconds] of steps) {
    const length = Math.round(seconds * rate);
    const channels = levels.map(() => new Float32Array(length));
    for (let i = 0; i < length; i++) {
      const sine = Math.sin((2 * Math.PI * 1000 * (at + i)) / rate);
      for (const [c, level] of levels.entries()) channels[c]![i] = 10 ** (level / 20) * sine;
    }
    yield { firstSample: at, channels };
    at += length;
  }
}

const stereo = (level: number, seconds: number): Step => [[level, level], seconds];
const signals: Readonly<Record<number, { steps: readonly Step[]; expected: number }>> = {
  1: { steps: [stereo(-23, 20)], expected: -23 },
  2: { steps: [stereo(-33, 20)], expected: -33 },
  3: { steps: [stereo(-36, 10), stereo(-23, 60), stereo(-36, 10)], expected: -23 },
  4: {
    steps: [stereo(-72, 10), stereo(-36, 10), stereo(-23, 60), stereo(-36, 10), stereo(-72, 10)],
    expected: -23,
  },
  5: { steps: [stereo(-26, 20), stereo(-20, 20.1), stereo(-26, 20)], expected: -23 },
  // 5.0 as WAV orders it with its low-frequency channel: L, R, C, LFE, Ls, Rs.
  6: { steps: [[[-28, -28, -24, Number.NEGATIVE_INFINITY, -30, -30], 20]], expected: -23 },
};

let readings: Record<string, { I?: number; tp?: number }> = {};
beforeAll(async () => {
  const file = fileURLToPath(
    new URL("../../../test/published/loudness/tech3341_3342_readings_libebur128.json", import.meta.url),
  );
  readings = JSON.parse(await readFile(file, "utf8"));
});

/** Tenth of a second in and out: a sine that begins at once has a real peak above its own, which is not the test. */
const fade = (i: number): number => Math.min(1, i / 4800, (rate - 1 - i) / 4800);

describe("measureLoudness, against EBU Tech 3341", () => {
  it.each([1, 2, 3, 4, 5, 6])("signal %i: integrated, within 0.1 LU", async (number) => {
    const { steps, expected } = signals[number]!;
    const path = scratch(`signal-${number}.wav`);
    await writeSoundFile(path, { sampleRateHz: rate, channels: steps[0]![0].length, bits: 24 }, tone(steps));
    const { integrated } = await measureLoudness(path);
    expect(Math.abs(integrated - expected)).toBeLessThanOrEqual(0.1);
    expect(Math.abs(integrated - readings[String(number)]!.I!)).toBeLessThanOrEqual(0.02);
  });

  it.each([
    [15, 4, 0.5, 0, -6],
    [16, 4, 0.5, 45, -6],
    [17, 6, 0.5, 60, -6],
    [18, 8, 0.5, 67.5, -6],
    [19, 4, 1.41, 45, 3],
  ])(
    "signal %i: true peak of a sine at fs/%i, +0.2 and -0.4 dB",
    async (number, division, amplitude, degrees, expected) => {
      const path = scratch(`peak-${number}.wav`);
      const channel = Float32Array.from(
        { length: rate },
        (_, i) => amplitude * fade(i) * Math.sin((2 * Math.PI * i) / division + (degrees * Math.PI) / 180),
      );
      await writeSoundFile(path, { sampleRateHz: rate, channels: 2, bits: 32 }, [
        { firstSample: 0, channels: [channel, channel] },
      ]);
      const { truePeak } = await measureLoudness(path);
      expect(truePeak).toBeLessThanOrEqual(expected + 0.2);
      expect(truePeak).toBeGreaterThanOrEqual(expected - 0.4);
      expect(Math.abs(truePeak - readings[String(number)]!.tp!)).toBeLessThanOrEqual(0.1);
    },
  );

  it("range of EBU Tech 3342 signal 1: 10 LU, within 1", async () => {
    const path = scratch("range.wav");
    await writeSoundFile(
      path,
      { sampleRateHz: rate, channels: 2, bits: 24 },
      tone([stereo(-20, 20), stereo(-30, 20)]),
    );
    expect(Math.abs((await measureLoudness(path)).range - 10)).toBeLessThanOrEqual(1);
  });

  it("silence has figures too", async () => {
    const path = scratch("silence.wav");
    await writeSoundFile(path, { sampleRateHz: rate, channels: 1, bits: 24 }, [
      { firstSample: 0, channels: [new Float32Array(rate)] },
    ]);
    const silent = await measureLoudness(path);
    expect(silent.integrated).toBeLessThanOrEqual(-70);
    expect(silent.truePeak).toBe(-120);
  });
});
