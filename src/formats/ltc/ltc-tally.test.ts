import { describe, expect, it } from "vitest";
import { lcgNoise } from "#science/signal/lcg-noise";
import { LtcDecoder, type LtcFrame } from "./ltc-decoder.ts";
import { generateLtc } from "./ltc-generator.ts";
import { type LtcReading, LtcTally, ltcRate } from "./ltc-tally.ts";

function read(sound: Float32Array, sampleRateHz: number): LtcReading | null {
  const tally = new LtcTally(sampleRateHz);
  const decoder = new LtcDecoder(sampleRateHz, (word) => tally.add(word));
  decoder.append(sound);
  decoder.finish();
  return tally.finish();
}
const ntsc = { num: 30000, den: 1001 };
const pal = { num: 25, den: 1 };

describe("LtcTally", () => {
  it.each([-80, -3.5, 0, 0.4, 61])(
    "reads a source %f ppm fast against the audio clock to 0.1 ppm in a minute",
    (ppm) => {
      const speed = 1 + ppm * 1e-6;
      const sound = generateLtc({
        start: "09:59:30:00",
        rate: pal,
        frames: 1500,
        sampleRateHz: 48_000,
        speed,
      });
      const { rate, runs } = read(sound, 48_000)!;
      expect(rate).toEqual(pal);
      expect(runs).toHaveLength(1);
      expect((1920 / runs[0]!.samplesPerFrame - 1) * 1e6).toBeCloseTo(ppm, 1);
      expect(Math.abs(runs[0]!.atFirst)).toBeLessThan(0.05);
    },
  );

  it("reads drop-frame over midnight as one run", () => {
    const wish = { start: "23:59:58;00", rate: ntsc, dropFrame: true, frames: 120, sampleRateHz: 48_000 };
    const { rate, dropFrame, runs } = read(generateLtc(wish), 48_000)!;
    expect([rate, dropFrame]).toEqual([ntsc, true]);
    expect(runs).toHaveLength(1);
    // 2 589 408 frames a day: SMPTE ST 12-1.
    expect(runs[0]).toMatchObject({
      firstFrame: 2_589_348,
      lastFrame: 2_589_467,
      words: 120,
      label: "23:59:58;00",
    });
  });

  it.each([
    ["23.976", { num: 24000, den: 1001 }, false],
    ["24", { num: 24, den: 1 }, false],
    ["25", pal, false],
    ["29.97", ntsc, false],
    ["29.97 drop-frame", ntsc, true],
    ["30", { num: 30, den: 1 }, false],
  ] as const)("knows %s by its speed in two seconds", (_, rate, dropFrame) => {
    const start = dropFrame ? "01:00:00;00" : "01:00:00:00";
    const reading = read(generateLtc({ start, rate, dropFrame, frames: 60, sampleRateHz: 48_000 }), 48_000)!;
    expect(reading).toMatchObject({ rate, dropFrame });
  });

  it("knows a tape at three quarters of its speed by its highest frame number", () => {
    const words: LtcFrame[] = [];
    const decoder = new LtcDecoder(48_000, (word) => words.push(word));
    decoder.append(
      generateLtc({ start: "01:00:00:00", rate: pal, frames: 60, sampleRateHz: 48_000, speed: 0.75 }),
    );
    expect(ltcRate(words, 48_000)).toEqual({ rate: pal, dropFrame: false });
  });

  it("makes two runs of a timecode that jumps, and follows one that runs backwards", () => {
    const wish = { rate: pal, frames: 50, sampleRateHz: 48_000 };
    const one = generateLtc({ ...wish, start: "01:00:00:00" });
    const two = generateLtc({ ...wish, start: "02:00:00:00", reverse: true });
    const { runs } = read(new Float32Array([...one, ...two]), 48_000)!;
    expect(runs.map((r) => r.label)).toEqual(["01:00:00:00", "02:00:01:24"]);
    expect(runs[1]!.samplesPerFrame).toBeCloseTo(-1920, 1);
    expect(runs[1]!.lastFrame).toBe(180_000);
  });

  it("leaves out words that noise made say something else", () => {
    const sound = generateLtc({ start: "01:00:00:00", rate: pal, frames: 500, sampleRateHz: 48_000 });
    // Bursts over single cells, louder than the timecode.
    const burst = lcgNoise(24, 5);
    for (let k = 1; k < 500; k += 7)
      burst.forEach((v, i) => {
        sound[k * 1920 + 100 + 24 * (k % 50) + i]! += 0.8 * v;
      });
    const { runs } = read(sound, 48_000)!;
    expect(runs).toHaveLength(1);
    expect(runs[0]!.words).toBeGreaterThan(400);
    expect(runs[0]).toMatchObject({ firstFrame: 90_000, lastFrame: 90_499 });
    expect(Math.abs(runs[0]!.samplesPerFrame - 1920)).toBeLessThan(0.01);
  });

  it("answers null where there is no timecode", () => expect(read(lcgNoise(96_000, 3), 48_000)).toBeNull());
});
