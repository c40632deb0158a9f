import { expect, it } from "vitest";
import { randomFrom } from "../random.ts";
import { blockSamples, twoByTwoConvolver } from "./two-by-two-convolver.ts";

it("does what the sum of products does, across blocks, for both sources and both microphones", () => {
  const random = randomFrom(4);
  const noise = (n: number): Float32Array => Float32Array.from({ length: n }, () => random() * 2 - 1);
  const responses = [
    [noise(300), noise(200)],
    [noise(250), noise(120)],
  ] as const;
  const first = noise(2 * blockSamples);
  const second = noise(2 * blockSamples);
  const convolve = twoByTwoConvolver(responses);
  const blocks = [0, 1].map((k) =>
    convolve(
      first.slice(k * blockSamples, (k + 1) * blockSamples),
      second.slice(k * blockSamples, (k + 1) * blockSamples),
    ),
  );
  for (const m of [0, 1] as const)
    for (const n of [0, 5, 299, blockSamples - 1, blockSamples, blockSamples + 77, 2 * blockSamples - 1]) {
      let want = 0;
      responses[m][0].forEach((h, k) => {
        want += h * (first[n - k] ?? 0);
      });
      responses[m][1].forEach((h, k) => {
        want += h * (second[n - k] ?? 0);
      });
      expect(blocks[Math.floor(n / blockSamples)]![m]![n % blockSamples]).toBeCloseTo(want, 4);
    }
});
