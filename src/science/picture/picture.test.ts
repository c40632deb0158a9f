import { describe, expect, it } from "vitest";
import { lcgNoise } from "#science/signal/lcg-noise";
import { edgeDetail } from "./edge-detail.ts";
import { frameShift } from "./frame-shift.ts";
import { type Grey, greyOf, shrunk } from "./grey.ts";

const width = 120;
const height = 68;
const field = (value: (x: number, y: number) => number, w = width, h = height): Grey => ({
  width: w,
  height: h,
  values: Float32Array.from({ length: w * h }, (_, i) => value(i % w, Math.floor(i / w))),
});

describe("greyOf", () => {
  // ITU-R BT.709-6, item 3.2: E'Y = 0.2126 E'R + 0.7152 E'G + 0.0722 E'B.
  it("weighs red, green and blue as printed", () => {
    const rgb = Uint8Array.from([255, 0, 0, 0, 255, 0, 0, 0, 255, 255, 255, 255]);
    const { values } = greyOf({ width: 4, height: 1, rgb });
    expect([...values].map((v) => Number(v.toFixed(4)))).toEqual([0.2126, 0.7152, 0.0722, 1]);
  });

  it("shrinks by means", () => {
    const small = shrunk(
      field((x, y) => x + 10 * y, 4, 4),
      2,
    );
    expect([small.width, small.height, ...small.values]).toEqual([2, 2, 5.5, 7.5, 25.5, 27.5]);
  });
});

describe("edgeDetail", () => {
  const ratio = (grey: Grey): number => {
    const { fine, coarse } = edgeDetail(grey, 1, 1);
    return fine[0]! / coarse[0]!;
  };
  const sharpStep = ratio(field((x) => (x < 60 ? 0.2 : 0.8)));

  it("is six times as high for a step as for a wide slope", () => {
    const slope = ratio(field((x) => x / width));
    expect(sharpStep / slope).toBeGreaterThan(5);
    expect(sharpStep / slope).toBeLessThan(7);
  });

  it("does not depend on contrast or lightness", () => {
    expect(ratio(field((x) => (x < 60 ? 0.45 : 0.5)))).toBeCloseTo(sharpStep, 2);
  });

  it("falls the farther an edge is blurred", () => {
    const blurred = [0.5, 1, 2, 4].map((sigma) =>
      ratio(field((x) => 1 / (1 + Math.exp((-1.7 * (x - 60)) / sigma)))),
    );
    for (let i = 1; i < blurred.length; i++) expect(blurred[i]).toBeLessThan(0.85 * blurred[i - 1]!);
  });
});

describe("frameShift", () => {
  // A sum of slow waves: known between its pixels.
  const scene = (x: number, y: number): number =>
    0.5 +
    0.12 * Math.sin(0.31 * x + 0.2 * y) +
    0.1 * Math.sin(0.17 * x - 0.37 * y) +
    0.08 * Math.cos(0.53 * x + 0.11 * y);
  const noise = lcgNoise(width * height);
  const seen = (dx: number, dy: number, gain = 1): Grey => {
    const grey = field((x, y) => gain * scene(x - dx, y - dy));
    return {
      ...grey,
      values: grey.values.map((v, i) => v + 0.004 * noise[(i * 7 + Math.round(dx * 100)) % noise.length]!),
    };
  };

  it.each([
    [0, 0],
    [1, 0],
    [-2.4, 0.7],
    [0.3, -3.6],
  ])("finds a shift of %d, %d within a seventh of a pixel, through a change of exposure", (dx, dy) => {
    const shift = frameShift(seen(0, 0), seen(dx, dy, 1.1))!;
    expect(Math.abs(shift.x - dx)).toBeLessThan(0.15);
    expect(Math.abs(shift.y - dy)).toBeLessThan(0.15);
  });

  it("is not fooled by a sitter who moves before a still room", () => {
    const room = seen(0, 0);
    const sat = (at: number): Grey => ({
      ...room,
      values: room.values.map((v, i) =>
        Math.hypot((i % width) - 60 - at, Math.floor(i / width) - 40) < 24 ? 0.2 + 0.1 * ((i + at) % 3) : v,
      ),
    });
    const shift = frameShift(sat(0), sat(4))!;
    expect(Math.hypot(shift.x, shift.y)).toBeLessThan(0.1);
  });

  it("does not guess on a plain wall", () => {
    expect(
      frameShift(
        field(() => 0.5),
        field(() => 0.6),
      ),
    ).toBeNull();
  });
});
