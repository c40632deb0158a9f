import { expect, it } from "vitest";
import { uniform } from "../../../test/helpers/simulated-room.ts";
import { voteForLine } from "./vote.ts";

it("follows the heavier of two talkers whose lines are 6 ms apart, not their average", () => {
  const chance = uniform(3);
  const sightings = Array.from({ length: 200 }, (_, i) => {
    const isSitter = i % 5 < 3;
    return {
      at: i,
      lag: (isSitter ? 0.002 : 0.008) + 40e-6 * i + 2e-5 * chance(),
      weight: isSitter ? 1 : 0.4,
    };
  });
  const vote = voteForLine(sightings, 300e-6, 0.0005, 0.05)!;
  expect(vote.slope * 1e6).toBeCloseTo(40, -1);
  expect(vote.lagAtMiddle - vote.slope * vote.middle).toBeGreaterThan(0.0005);
  expect(vote.lagAtMiddle - vote.slope * vote.middle).toBeLessThan(0.0035);
  expect(vote.on / vote.all).toBeGreaterThan(0.6);
});

it("has no line through nothing", () => expect(voteForLine([], 1e-4, 1e-3, 0.1)).toBeNull());
