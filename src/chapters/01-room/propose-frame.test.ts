import { describe, expect, it } from "vitest";
import type { Vector3 } from "#science/geometry/vector3";
import { clipToFrame, facingBar, facingOblong } from "#science/optics/clip-to-frame";
import { pinHole } from "#science/optics/pin-hole";
import { seededChance } from "#science/search/seeded-chance";
import { barInFrame, oblongInFrame } from "./propose-frame.ts";

describe("the cheap test of what is in a frame, against the exact clipping of the plan's figures", () => {
  const chance = seededChance(11);
  const within = (half: number): number => (2 * chance.next() - 1) * half;
  const point = (half: number): Vector3 => [within(half), within(half), within(2)];

  it("never misses an oblong or a bar that the frame holds, and seldom cries wolf", () => {
    let [seen, cried] = [0, 0];
    for (let k = 0; k < 4000; k++) {
      const camera = pinHole([0, 0, 0], within(180), within(20), 0.1 + chance.next(), 0.1 + chance.next());
      const [middle, wide, tall] = [point(4), 0.05 + chance.next(), 0.05 + 2 * chance.next()];
      const oblong = clipToFrame(camera, facingOblong(camera, middle, wide, tall));
      if (oblong) expect(oblongInFrame(camera, middle, wide, tall)).toBeGreaterThan(0);
      else if (oblongInFrame(camera, middle, wide, tall) > 0) cried++;
      const [from, to] = [point(4), point(4)];
      const bar = clipToFrame(camera, facingBar(camera, from, to, 0.05));
      // The figures' bar turns its face to the lens at its first end: half its thickness may show on either side.
      if (bar) expect(barInFrame(camera, from, to, 0.05, 0.05)).toBeGreaterThan(0);
      else if (barInFrame(camera, from, to, 0.05, 0.05) > 0) cried++;
      if (oblong || bar) seen++;
    }
    expect(seen).toBeGreaterThan(500);
    expect(cried).toBeLessThan(seen / 4);
  });
  it("says by how much a thing would have to move", () => {
    // Looks along +y, half a metre to each side at a metre; 2 % of a frame's breadth is kept clear.
    const camera = pinHole([0, 0, 0], 0, 0, 0.5, 0.5);
    // At 2 m the kept edge is 1.04 m out, and half the thing's breadth 0.1 m.
    expect(oblongInFrame(camera, [1.15, 2, 0], 0.2, 0.2)).toBe(0);
    expect(oblongInFrame(camera, [1.1, 2, 0], 0.2, 0.2)).toBeCloseTo(0.04, 12);
    expect(oblongInFrame(camera, [0, -2, 0], 0.2, 0.2)).toBe(0);
  });
});
