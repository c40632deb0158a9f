import { expect, it } from "vitest";
import { localToSitting, sittingToLocal } from "./device-clock.ts";

it("puts local time on the sitting's clock and back", () => {
  const clock = { offset: 1.75, ratePpm: 23.7 };
  // a clock that runs slow by 23.7 ppm has lost 23.7 ms after 1000 s of its own time
  expect(localToSitting(clock, 1000)).toBeCloseTo(1001.7737, 9);
  expect(sittingToLocal(clock, localToSitting(clock, 1234.5))).toBeCloseTo(1234.5, 9);
});
