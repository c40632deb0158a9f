import { describe, expect, it } from "vitest";
import { loadFft } from "#science/signal/fft";
import { lcgNoise } from "#science/signal/lcg-noise";
import { sampleAt } from "#science/signal/sample-at";
import type { SoundStretch } from "./compact-sound.ts";
import { listeningRateHz } from "./constants.ts";
import { firstArrival } from "./first-arrival.ts";
import { type Transfer, transferBetween } from "./transfer.ts";

/* A voiced source that repeats itself every 5 ms, heard near with a reflection and far with one that outshines the direct sound. */
const seconds = 20;
const upsample = 8;
const rateHz = listeningRateHz * upsample;
const reach = Math.round(0.07 * rateHz);
const ms = listeningRateHz / 1e3;

function voice(): Float32Array {
  const out = lcgNoise(seconds * listeningRateHz, 11);
  for (let i = 80; i < out.length; i++) out[i]! += 0.8 * out[i - 80]!;
  return out;
}

function hearing(paths: readonly (readonly [delayMs: number, gain: number])[], noise: number, seed: number) {
  const dry = voice();
  const out = lcgNoise(dry.length, seed).map((v) => noise * v);
  const part = new Float32Array(dry.length);
  for (const [delay, gain] of paths) {
    sampleAt(dry, -delay * ms, 1, part);
    for (let i = 0; i < out.length; i++) out[i]! += gain * part[i]!;
  }
  return out;
}

const stretchOf = (sound: Float32Array): SoundStretch => ({
  samples: sound.length,
  read: async (first, out) => {
    for (let i = 0; i < out.length; i++) out[i] = sound[first + i] ?? 0;
  },
});

async function between(
  near: readonly (readonly [number, number])[],
  far: readonly (readonly [number, number])[],
  noise: number,
): Promise<Transfer> {
  const ats = Array.from({ length: 17 }, (_, i) => 1.5 + i);
  const transfer = await transferBetween(
    await loadFft(),
    stretchOf(hearing(near, 0, 1)),
    stretchOf(hearing(far, noise, 2)),
    ats.map((at) => ({ at, farAt: (t: number) => t })),
    upsample,
    reach,
    async () => {},
  );
  return transfer!;
}

describe("the way from a near microphone to a far one", () => {
  it("has the far microphone's paths at their delays and heights, though the near one has a reflection and the voice a pitch", async () => {
    const { response, noise } = await between(
      [
        [0, 1],
        [3, 0.4],
      ],
      [
        [2.3125, 0.3],
        [5.1, 0.6],
      ],
      0.1,
    );
    const at = (lagMs: number) => response[reach + Math.round((lagMs / 1e3) * rateHz)]!;
    const strongest = response.indexOf(Math.max(...response));
    expect(((strongest - reach) / rateHz) * 1e3).toBeCloseTo(5.1, 1);
    expect(at(2.3125) / at(5.1)).toBeCloseTo(0.5, 1);
    // A correlation has the near reflection 3 ms before each path, at 0.4 of it.
    expect(Math.abs(at(5.1 - 3) / at(5.1))).toBeLessThan(0.15);
    expect(Math.abs(at(2.3125 - 3) / at(5.1))).toBeLessThan(0.05);
    expect(at(5.1) / noise).toBeGreaterThan(30);
  });

  it("gives the direct sound as the first arrival, to a hundredth of a millisecond", async () => {
    const transfer = await between(
      [
        [0, 1],
        [3, 0.4],
      ],
      [
        [-2.37, 0.3],
        [0, 1],
        [4.4, 0.8],
      ],
      0.5,
    );
    const first = firstArrival(transfer, 1, rateHz)!;
    expect((first.lag / rateHz) * 1e3).toBeCloseTo(-2.37, 2);
    expect((first.doubt / rateHz) * 1e3).toBeLessThan(0.4);
  });

  it("finds it upside down as well", async () => {
    const transfer = await between(
      [[0, 1]],
      [
        [-1.5, -0.5],
        [0, -1],
      ],
      0.1,
    );
    expect((firstArrival(transfer, -1, rateHz)!.lag / rateHz) * 1e3).toBeCloseTo(-1.5, 2);
  });

  it("tells nothing where both heard nothing of each other", async () => {
    expect(firstArrival(await between([[0, 1]], [[0, 0]], 1), 1, rateHz)).toBeNull();
  });
});

describe("the first arrival", () => {
  const drawn = (peaks: readonly (readonly [ms: number, height: number])[], noise: number): Transfer => {
    const bump = (out: Float32Array, atMs: number, height: number) => {
      const middle = reach + (atMs / 1e3) * rateHz;
      for (let i = 0; i < out.length; i++) out[i]! += height * Math.exp(-(((i - middle) / 9) ** 2));
    };
    const response = lcgNoise(2 * reach + 1, 3).map((v) => noise * v);
    const kernel = new Float32Array(2 * reach + 1);
    bump(kernel, 0, 1);
    for (const [at, height] of peaks) bump(response, at, height);
    return { response, kernel, noise };
  };
  const find = (peaks: readonly (readonly [number, number])[], noise = 0.01) => {
    const first = firstArrival(drawn(peaks, noise), 1, rateHz)!;
    return { ms: (first.lag / rateHz) * 1e3, doubtMs: (first.doubt / rateHz) * 1e3 };
  };

  it("is the strongest where nothing comes before it, beyond doubt", () => {
    const { ms: at, doubtMs } = find([
      [0, 1],
      [4, 0.8],
    ]);
    expect(at).toBeCloseTo(0, 2);
    expect(doubtMs).toBeLessThan(0.05);
  });

  it("is doubted where something soft comes before it", () => {
    const { ms: at, doubtMs } = find([
      [-3, 0.09],
      [0, 1],
    ]);
    expect(at).toBeCloseTo(0, 2);
    expect(doubtMs).toBeGreaterThan(0.5);
  });

  it("may be unseen where the noise is high, and says so", () => {
    expect(find([[0, 1]], 0.08).doubtMs).toBeGreaterThan(0.3);
  });
});
