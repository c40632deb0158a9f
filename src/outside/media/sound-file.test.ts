import { readdir, readFile } from "node:fs/promises";
import { describe, expect, it } from "vitest";
import { asRecording, gather, joined, scratchFolder } from "../../../test/helpers/made-media.ts";
import { openFileSound, openMediaReader } from "./media-reader.ts";
import { writeSoundFile } from "./sound-file.ts";

const scratch = scratchFolder("sound-file");
const noise = (n: number): number => (Math.imul(n + 1, 2_654_435_761) >> 8) / 2 ** 23;

/** Chunk name to its place in a RIFF file. */
function chunks(bytes: Buffer): Map<string, { from: number; size: number }> {
  const found = new Map<string, { from: number; size: number }>();
  for (let at = 12; at + 8 <= bytes.length; ) {
    const size = bytes.readUInt32LE(at + 4);
    found.set(bytes.toString("latin1", at, at + 4), { from: at + 8, size });
    at += 8 + size + (size % 2);
  }
  return found;
}

describe("writeSoundFile", () => {
  it("keeps 24 bits exactly, in the file and read back", async () => {
    const path = scratch("exact.wav");
    const channels = [0, 1].map((c) => Float32Array.from({ length: 100_000 }, (_, i) => noise(2 * i + c)));
    await writeSoundFile(path, { sampleRateHz: 48_000, channels: 2, bits: 24 }, [
      { firstSample: 0, channels: channels.map((channel) => channel.subarray(0, 33_333)) },
      { firstSample: 33_333, channels: channels.map((channel) => channel.subarray(33_333)) },
    ]);
    const bytes = await readFile(path);
    const data = chunks(bytes).get("data")!;
    expect(data.size).toBe(100_000 * 2 * 3);
    for (let i = 0; i < 200_000; i += 101) {
      const stored = bytes.readIntLE(data.from + 3 * i, 3);
      expect(stored).toBe(channels[i % 2]![Math.floor(i / 2)]! * 2 ** 23);
    }
    const back = joined(await gather(openFileSound(path)));
    expect(back).toEqual(channels);
  });

  it("keeps what is beyond full scale in 32 bits, and clips it in 24", async () => {
    const loud = [Float32Array.from([0.5, 1.5, -2.25, 1, -1])];
    for (const [bits, expected] of [
      [32, [0.5, 1.5, -2.25, 1, -1]],
      [24, [0.5, 1 - 2 ** -23, -1, 1 - 2 ** -23, -1]],
    ] as const) {
      const path = scratch(`loud-${bits}.wav`);
      await writeSoundFile(path, { sampleRateHz: 48_000, channels: 1, bits }, [
        { firstSample: 0, channels: loud },
      ]);
      const [back] = joined(await gather(openFileSound(path)));
      expect([...back!]).toEqual(expected);
    }
  });

  it("writes TimeReference and Description where EBU Tech 3285 puts them", async () => {
    const path = scratch("bext.wav");
    // 10:20:24.000 at 48 kHz, and a value that needs the high word.
    for (const timeReferenceSamples of [1_786_752_000, 2 ** 32 + 5]) {
      await writeSoundFile(
        path,
        {
          sampleRateHz: 48_000,
          channels: 1,
          bits: 24,
          timeReferenceSamples,
          description: "tide mill, dialogue",
        },
        [{ firstSample: 0, channels: [new Float32Array(100)] }],
      );
      const bytes = await readFile(path);
      const bext = chunks(bytes).get("bext")!;
      // EBU Tech 3285 v2: Description at offset 0, TimeReferenceLow at 338, TimeReferenceHigh at 342.
      expect(bytes.toString("latin1", bext.from, bext.from + 19)).toBe("tide mill, dialogue");
      const low = bytes.readUInt32LE(bext.from + 338);
      const high = bytes.readUInt32LE(bext.from + 342);
      expect(high * 2 ** 32 + low).toBe(timeReferenceSamples);
      expect((await asRecording(path)).probe.timeReferenceSamples).toBe(timeReferenceSamples);
    }
  });

  it("fills a hole between blocks with silence", async () => {
    const path = scratch("hole.wav");
    const ones = new Float32Array(10).fill(0.5);
    await writeSoundFile(path, { sampleRateHz: 48_000, channels: 1, bits: 24 }, [
      { firstSample: 1000, channels: [ones] },
      { firstSample: 1030, channels: [ones] },
    ]);
    const [back] = joined(await gather(openFileSound(path)));
    expect(back!.length).toBe(40);
    expect([back![9], back![10], back![29], back![30]]).toEqual([0.5, 0, 0, 0.5]);
  });

  it("leaves nothing when the source of its blocks fails", async () => {
    const path = scratch("failed.wav");
    const blocks = (async function* () {
      yield { firstSample: 0, channels: [new Float32Array(10_000)] };
      throw new Error("no more");
    })();
    await expect(
      writeSoundFile(path, { sampleRateHz: 48_000, channels: 1, bits: 24 }, blocks),
    ).rejects.toThrow("no more");
    expect((await readdir(scratch("."))).filter((name) => name.startsWith("failed"))).toEqual([]);
  });

  it("reads a stretch of a made file", async () => {
    const path = scratch("stretch.wav");
    const ramp = Float32Array.from({ length: 48_000 }, (_, i) => i / 48_000);
    await writeSoundFile(path, { sampleRateHz: 48_000, channels: 1, bits: 32 }, [
      { firstSample: 0, channels: [ramp] },
    ]);
    const blocks = await gather(openFileSound(path, { startSeconds: 0.25, endSeconds: 0.5 }));
    expect(blocks[0]!.firstSample).toBe(12_000);
    expect(joined(blocks)[0]!).toEqual(ramp.subarray(12_000, 24_000));
    const reader = openMediaReader((recording) => recording.path);
    const [first] = await gather(
      reader.sound(await asRecording(path), { sampleRateHz: 48_000, blockSamples: 48_000 }),
    );
    expect(first!.channels[0]).toEqual(ramp);
  });
});
