import { expect, it } from "vitest";
import { fastestFallDb } from "./closeness.ts";

it("reads the fall of a room from how sound dies away", () => {
  // Bursts that stop, in a room of 0.6 s to 60 dB: 100 dB a second, 4.8 dB in three frames of 16 ms.
  const level = Float32Array.from({ length: 3000 }, (_, i) => -20 - Math.max(0, (i % 60) - 20) * 1.6);
  expect(fastestFallDb(level)).toBeCloseTo(4.8, 4);
});
