import { fc, test } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import type { Vector3 } from "../geometry/vector3.ts";
import { aimFor, pinHole, placeInFrame } from "../optics/pin-hole.ts";
import { eased, peakSpeedShare } from "./easing.ts";
import { fewestKeyframes, type HeldPose, steadyPose } from "./keyframes.ts";
import { panFor } from "./pan-for.ts";
import { fewestSmoothKeyframes, smoothPose } from "./smooth-keyframes.ts";

describe("easing", () => {
  it("starts and ends at rest, passes the middle half way, half again as fast as a steady move", () => {
    expect([0, 0.5, 1].map((u) => eased("in-out", u))).toEqual([0, 0.5, 1]);
    expect((eased("in-out", 1e-4) - 0) / 1e-4).toBeLessThan(0.001);
    expect((eased("in-out", 0.5 + 1e-6) - eased("in-out", 0.5 - 1e-6)) / 2e-6).toBeCloseTo(
      peakSpeedShare("in-out"),
      6,
    );
    expect(eased("none", 0.3)).toBe(0.3);
    expect(eased("in-out", 1.7)).toBe(1);
  });
});

describe("the pan that holds a point across the frame with the tilt fixed", () => {
  const coordinate = fc.double({ min: -3, max: 3, noNaN: true });
  test.prop([
    coordinate,
    fc.double({ min: 1, max: 5, noNaN: true }),
    fc.double({ min: -0.5, max: 0.5, noNaN: true }),
    fc.double({ min: 0.1, max: 0.9, noNaN: true }),
    fc.double({ min: -20, max: 20, noNaN: true }),
  ])("brings it to its place by central projection", (x, y, z, place, tilt) => {
    const target: Vector3 = [x, y, z];
    const pan = panFor([0, 0, 0], target, place, tilt, 0.4);
    expect(pan).not.toBeNull();
    const seen = placeInFrame(pinHole([0, 0, 0], pan!, tilt, 0.4, 0.225), target);
    expect(seen!.x).toBeCloseTo(place, 9);
  });
});

/** A camera that passes a point at 2.5 m on a straight rail, held in the middle of a frame of 3840 pixels. */
function passing(metres: number, samples: number, ease: "none" | "in-out"): HeldPose[] {
  const tan = 0.2;
  return Array.from({ length: samples }, (_, i) => {
    const t = (30 * i) / (samples - 1);
    const from: Vector3 = [metres * (eased(ease, t / 30) - 0.5), 0, 1.2];
    const { pan, tilt } = aimFor(from, [0, 2.5, 1.2], 0.5, 0.5, tan, tan * 0.5625)!;
    // Turns at the middle of the frame: pixels of a degree there.
    const perDegree = (3840 / (2 * tan)) * (Math.PI / 180);
    return { t, pan, tilt, pixelsPerPan: perDegree, pixelsPerTilt: perDegree };
  });
}

/** Worst error in pixels between dense samples of the exact move, not those that were optimised over. */
function worst(
  metres: number,
  ease: "none" | "in-out",
  pose: (t: number) => { pan: number; tilt: number },
): number {
  return Math.max(
    ...passing(metres, 997, ease).map((exact) =>
      Math.abs((pose(exact.t).pan - exact.pan) * exact.pixelsPerPan),
    ),
  );
}

describe("the fewest keyframes of a head that turns steadily", () => {
  it("hold the point within a pixel of the exact solution, between the samples as well", () => {
    const keys = fewestKeyframes(passing(0.6, 121, "none"), 0.95);
    expect(worst(0.6, "none", (t) => steadyPose(keys, t))).toBeLessThan(1);
    expect(keys[0]!.t).toBe(0);
    expect(keys.at(-1)!.t).toBe(30);
  });
  it("are as few as an exhaustive search over the same samples and places finds", () => {
    const poses = passing(0.5, 13, "none");
    const found = fewestKeyframes(poses, 1.5).length;
    expect(found).toBe(exhaustive(poses, 1.5));
  });
  it("are never more than a greedy walk of longest chords on the curve itself", () => {
    for (const ease of ["none", "in-out"] as const) {
      const poses = passing(0.4, 61, ease);
      let greedy = 1;
      for (let i = 0; i < poses.length - 1; greedy++) {
        let j = i + 1;
        while (j + 1 < poses.length && chord(poses, i, j + 1, 0, 0) <= 1) j++;
        i = j;
      }
      expect(fewestKeyframes(poses, 1).length).toBeLessThanOrEqual(greedy);
    }
  });
  it("are one where nothing has to turn", () => {
    const still = passing(0, 21, "none");
    expect(fewestKeyframes(still, 1)).toHaveLength(1);
    expect(fewestSmoothKeyframes(still, 1)).toHaveLength(1);
  });
});

describe("the fewest keyframes of a head that runs smoothly through them", () => {
  it("hold a softly started move within a pixel with fewer than a steady head needs", () => {
    const poses = passing(0.4, 41, "in-out");
    const smooth = fewestSmoothKeyframes(poses, 0.9);
    expect(worst(0.4, "in-out", (t) => smoothPose(smooth, t))).toBeLessThan(1);
    expect(smooth.length).toBeLessThan(fewestKeyframes(poses, 0.9).length);
  });
  it("start and end at rest and stop nowhere between", () => {
    const keys = [
      { t: 0, pan: 0, tilt: 0 },
      { t: 10, pan: 5, tilt: 0 },
      { t: 20, pan: 10, tilt: 0 },
    ];
    const speed = (t: number): number =>
      (smoothPose(keys, t + 1e-4).pan - smoothPose(keys, t - 1e-4).pan) / 2e-4;
    expect(speed(1e-3)).toBeLessThan(0.001);
    expect(speed(10)).toBeCloseTo(0.5, 3);
    expect(speed(20 - 1e-3)).toBeLessThan(0.001);
  });
});

const shares = [-0.9, -0.45, 0, 0.45, 0.9];

function chord(poses: readonly HeldPose[], i: number, j: number, from: number, to: number): number {
  const [a, b] = [poses[i]!, poses[j]!];
  let most = 0;
  for (let s = i; s <= j; s++) {
    const pose = poses[s]!;
    const u = (pose.t - a.t) / (b.t - a.t);
    const pan = (a.pan + from) * (1 - u) + (b.pan + to) * u;
    most = Math.max(most, Math.abs(pan - pose.pan) * pose.pixelsPerPan);
  }
  return most;
}

/** Breadth first over every sample and place: how few keyframes there can be. */
function exhaustive(poses: readonly HeldPose[], tolerance: number): number {
  const off = (i: number, k: number): number => (shares[k]! * tolerance) / poses[i]!.pixelsPerPan;
  let layer: (readonly [number, number])[] = shares.map((_, k) => [0, k]);
  for (let count = 2; ; count++) {
    const next = new Map<string, readonly [number, number]>();
    for (const [i, k] of layer)
      for (let j = i + 1; j < poses.length; j++)
        for (let q = 0; q < shares.length; q++)
          if (chord(poses, i, j, off(i, k), off(j, q)) <= tolerance) {
            if (j === poses.length - 1) return count;
            next.set(`${j} ${q}`, [j, q]);
          }
    layer = [...next.values()];
  }
}
