import { describe, expect, it } from "vitest";
import { clock } from "#clock/clock";
import { generateLtc } from "#formats/ltc/ltc-generator";
import { openMediaReader } from "#outside/media/media-reader";
import { writeSoundFile } from "#outside/media/sound-file";
import { resample } from "#science/filters/resample";
import { listeningContext } from "../helpers/array-media.ts";
import { simulatedInterview, wayToCamera } from "../helpers/interview.ts";
import { asRecording, scratchFolder, writeMovie } from "../helpers/made-media.ts";
import * as room from "../helpers/simulated-room.ts";

/* Real files through the media layer: rates that differ, timecode in a channel through a codec. */

const scratch = scratchFolder("clock-files");

async function wav(name: string, sampleRateHz: number, channels: readonly Float32Array[]): Promise<string> {
  const path = scratch(name);
  await writeSoundFile(path, { sampleRateHz, channels: channels.length, bits: 24 }, [
    { firstSample: 0, channels },
  ]);
  return path;
}

describe("clock, on files", () => {
  it("places 44.1, 32 and 96 kHz against 48 kHz, one of them on eight channels", async () => {
    const sound = await simulatedInterview(19, 91);
    const at = (x: Float32Array, hz: number) => resample(x, room.roomRateHz, hz);
    const camera = room.recorded(sound.camera, 2, 0, 16);
    const none = new Float32Array(at(camera, 96_000).length);
    const paths = [
      await wav("lav.wav", 48_000, [at(sound.lav, 48_000)]),
      await wav("b.wav", 44_100, [at(camera, 44_100)]),
      await wav("c.wav", 32_000, [at(camera, 32_000)]),
      await wav("d.wav", 96_000, [none, none, at(camera, 96_000), none, none, none, none, none]),
    ];
    const recordings = await Promise.all(
      paths.map(async (path, i) => ({ ...(await asRecording(path)), hash: path, device: `sound${i + 1}` })),
    );
    const result = await clock.measure(
      { recordings, master: paths[0]! },
      listeningContext(openMediaReader((recording) => recording.hash)),
    );
    for (const row of result.recordings.slice(1)) {
      expect(row.placedBy).toBe("sound");
      expect(Math.abs(row.offset! - 2 + wayToCamera)).toBeLessThan(1e-4);
      expect(Math.abs(row.ratePpm!)).toBeLessThan(5);
    }
  });

  it("reads timecode out of AAC to a tenth of a millisecond", async () => {
    const rate = { num: 25, den: 1 };
    const ltc = generateLtc({
      start: "10:00:00:10",
      rate,
      frames: 300,
      sampleRateHz: 48_000,
      leadSeconds: 0.013,
    });
    const sound = await simulatedInterview(12, 92);
    const lav = resample(sound.lav, room.roomRateHz, 48_000);
    const path = scratch("aac.mp4");
    await writeMovie(
      path,
      { sound: { codec: "aac", sampleRateHz: 48_000, channels: 2, bitRate: 192_000 } },
      11,
      { sound: (t, channel) => (channel === 0 ? lav : ltc)[Math.round(t * 48_000)] ?? 0 },
    );
    const recording = { ...(await asRecording(path)), hash: path, device: "A" };
    const result = await clock.measure(
      { recordings: [recording], master: null },
      listeningContext(openMediaReader((r) => r.hash)),
    );
    const { timecode } = result.recordings[0]!;
    expect(timecode).toMatchObject({ channel: 2, frameRate: rate, dropFrame: false });
    expect(Math.abs(timecode!.startSeconds - (36_000 + 0.4 - 0.013))).toBeLessThan(1e-4);
    expect(Math.abs(timecode!.ppm)).toBeLessThan(1);
  });
});
