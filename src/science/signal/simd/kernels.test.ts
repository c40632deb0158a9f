import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import wabt from "wabt";
import { lcgNoise } from "../lcg-noise.ts";
import { kernelBytes } from "./kernel-bytes.ts";
import { kernels, placeForFloats, placeForShorts, placeOf, placeOfIntegers } from "./kernels.ts";

const noise = (count: number, seed: number) => lcgNoise(count, seed);
const near = (got: ArrayLike<number>, expected: ArrayLike<number>, within: number) => {
  expect(got.length).toBe(expected.length);
  for (let i = 0; i < got.length; i++) expect(Math.abs(got[i]! - expected[i]!)).toBeLessThan(within);
};

describe("kernels", () => {
  it("are those of the text beside them", async () => {
    const { parseWat } = await wabt();
    const text = readFileSync(new URL("kernels.wat", import.meta.url), "utf8");
    const module = parseWat("kernels.wat", text, { simd: true, sat_float_to_int: true });
    expect(kernelBytes).toBe(Buffer.from(module.toBinary({}).buffer).toString("base64"));
  });

  it("multiply, square and add up as plain loops do", () => {
    const [x, y] = [noise(64, 1), noise(64, 2)];
    const out = placeForFloats(64);
    kernels().multiply(placeOf(x).at, placeOf(y).at, out.at, 64);
    near(
      out.values,
      x.map((v, i) => v * y[i]!),
      1e-7,
    );
    expect(kernels().sumOfSquares(placeOf(x).at, 64)).toBeCloseTo(
      x.reduce((sum, v) => sum + v * v, 0),
      4,
    );
    const powers = placeForFloats(32);
    kernels().powers(placeOf(x).at, powers.at, 32);
    near(
      powers.values,
      Float32Array.from({ length: 32 }, (_, k) => x[2 * k]! ** 2 + x[2 * k + 1]! ** 2),
      1e-6,
    );
    const edges = [0, 1, 4, 9, 9, 33, 64];
    const sums = placeForFloats(6);
    kernels().sumsBetween(placeOf(x).at, placeOfIntegers(edges).at, 6, sums.at);
    near(
      sums.values,
      edges.slice(1).map((end, b) => x.subarray(edges[b], end).reduce((sum, v) => sum + v, 0)),
      1e-5,
    );
  });

  it("add four rows of any length", () => {
    for (const count of [1, 3, 4, 7, 16, 29]) {
      const rows = [1, 2, 3, 4].map((seed) => noise(count, seed));
      const out = placeOf(noise(count + 1, 9));
      const before = out.values.slice();
      const [a, b, c, d] = rows.map((row) => placeOf(row).at);
      kernels().addFour(a!, b!, c!, d!, out.at, count);
      near(
        out.values.subarray(0, count),
        rows[0]!.map((_, i) => before[i]! + rows.reduce((sum, row) => sum + row[i]!, 0)),
        1e-6,
      );
      expect(out.values[count]).toBe(before[count]);
    }
  });

  it("pack to 16 bits and back within half a step, held at the ends", () => {
    const x = noise(64, 5);
    x[3] = 1.5;
    x[4] = -1.5;
    const shorts = placeForShorts(64);
    const back = placeForFloats(64);
    expect(kernels().peak(placeOf(x).at, 64)).toBe(1.5);
    kernels().toShorts(placeOf(x).at, 32_767, shorts.at, 64);
    kernels().fromShorts(shorts.at, 1 / 32_767, back.at, 64);
    near(
      back.values,
      x.map((v) => Math.max(-32_768 / 32_767, Math.min(1, v))),
      0.5001 / 32_767,
    );
  });

  it("turn and weigh a cross-spectrum as its formula says", () => {
    const bins = 64;
    const [a, b] = [noise(2 * bins, 7), noise(2 * bins, 8)];
    const soft = noise(bins, 9).map((v) => Math.abs(v) * 10);
    const [re, im, counted] = [placeForFloats(bins), placeForFloats(bins), placeForFloats(bins)];
    const step = 0.3;
    const rotor = placeOf(
      Float32Array.from({ length: 8 }, (_, k) => (k < 4 ? Math.cos(step * k) : Math.sin(step * (k - 4)))),
    );
    kernels().addCross(
      placeOf(a).at,
      placeOf(b).at,
      placeOf(soft).at,
      re.at,
      im.at,
      counted.at,
      bins,
      rotor.at,
      Math.cos(4 * step),
      Math.sin(4 * step),
      0.7,
    );
    for (let k = 0; k < bins; k++) {
      const cRe = a[2 * k]! * b[2 * k]! + a[2 * k + 1]! * b[2 * k + 1]!;
      const cIm = a[2 * k]! * b[2 * k + 1]! - a[2 * k + 1]! * b[2 * k]!;
      const size = Math.hypot(cRe, cIm);
      const scale = (0.7 * soft[k]!) / (1 + size * soft[k]!);
      expect(re.values[k]).toBeCloseTo(scale * (cRe * Math.cos(step * k) - cIm * Math.sin(step * k)), 5);
      expect(im.values[k]).toBeCloseTo(scale * (cRe * Math.sin(step * k) + cIm * Math.cos(step * k)), 5);
      expect(counted.values[k]).toBeCloseTo(scale * size, 5);
    }
  });

  it("stay readable when more memory is taken", () => {
    const place = placeOf(Float32Array.of(1, 2, 3, 4));
    placeForFloats(1_000_000);
    expect([...place.values]).toEqual([1, 2, 3, 4]);
  });
});
