import { describe, expect, it } from "vitest";
import { lcgNoise } from "#science/signal/lcg-noise";
import { directSound, type Stack } from "./direct-sound.ts";

/* Drawn by hand: a hundred steps a millisecond, peaks as wide as speech leaves them. Which peak is right is said here. */
const rateHz = 100_000;
const half = 7200;

function bump(out: Float32Array, atMs: number, height: number): void {
  const middle = half + (atMs / 1e3) * rateHz;
  for (let i = 0; i < out.length; i++) out[i]! += height * Math.exp(-(((i - middle) / 7) ** 2));
}

function drawn(peaks: readonly (readonly [ms: number, height: number])[], noise = 0.01): Stack {
  const sum = lcgNoise(2 * half + 1, 3).map((v) => noise * v);
  for (const [ms, height] of peaks) bump(sum, ms, height);
  return { sum, noise };
}

const silent: Stack = { sum: new Float32Array(2 * half + 1), noise: 0 };
const kernel = drawn([[0, 1]], 0).sum;
const find = (own: Stack, order: 1 | 0 | -1 = 1, soft: Stack = silent) => {
  const { index, isOther, doubt } = directSound({ own, loud: own, soft }, half, 1, rateHz, order, kernel);
  return { ms: ((index - half) / rateHz) * 1e3, isOther, doubtMs: (doubt / rateHz) * 1e3 };
};

describe("the direct sound among the peaks", () => {
  it("is the followed peak where nothing comes before it, beyond doubt", () => {
    const { ms, doubtMs } = find(
      drawn([
        [0, 1],
        [4.2, 0.3],
      ]),
    );
    expect(ms).toBeCloseTo(0, 2);
    expect(doubtMs).toBeLessThan(0.05);
  });

  it("comes before a reflection that outshines it", () => {
    expect(
      find(
        drawn([
          [-2.7, 0.5],
          [0, 1],
          [5, 0.6],
        ]),
      ).ms,
    ).toBeCloseTo(-2.7, 1);
  });

  it("is not what the reference's own reflections draw before it; but that is doubted", () => {
    const { ms, doubtMs } = find(
      drawn([
        [-5.5, 0.28],
        [0, 1],
      ]),
    );
    expect(ms).toBeCloseTo(0, 2);
    expect(doubtMs).toBeGreaterThan(1);
  });

  it("is not what the talker's pitch draws on both sides", () => {
    const pitch = drawn(
      [
        [0, 1],
        [-8, 0.45],
        [8, 0.45],
      ],
      0,
    ).sum;
    const own = drawn([
      [0, 1],
      [-8, 0.45],
      [8, 0.45],
    ]);
    const { index } = directSound({ own, loud: own, soft: silent }, half, 1, rateHz, 1, pitch);
    expect(((index - half) / rateHz) * 1e3).toBeCloseTo(0, 2);
  });

  it("comes last where the other recording is the nearer, and stays where neither is", () => {
    const own = drawn([
      [2.7, 0.5],
      [0, 1],
    ]);
    expect(find(own, -1).ms).toBeCloseTo(2.7, 2);
    expect(find(own, 0).ms).toBeCloseTo(0, 2);
  });

  it("is not the other talker's, who is heard while the reference is soft", () => {
    const soft = drawn([[-6, 0.9]]);
    expect(
      find(
        drawn([
          [-6, 0.5],
          [0, 1],
        ]),
        1,
        soft,
      ).ms,
    ).toBeCloseTo(0, 2);
  });

  it("may have been drowned where all peaks are alike, and says by how much", () => {
    const alike = drawn(
      [
        [-30, 0.7],
        [-21, 0.8],
        [-9, 0.75],
        [0, 1],
        [3, 0.9],
        [8, 0.85],
      ],
      0.1,
    );
    expect(find(alike).doubtMs).toBeGreaterThan(1);
  });
});
