import { describe, expect, it } from "vitest";
import type { Plan } from "#documents/plan";
import { safeShutterAngles } from "#science/light/flicker";
import { stagedRoom } from "../../../test/helpers/staged-room.ts";
import { proposeStagings, withCamerasSet } from "./propose.ts";
import { roomFigures } from "./room.ts";
import { sceneOf } from "./scene.ts";

const wishing = (wishes: Partial<Plan["wishes"]>): Plan => {
  const plan = stagedRoom();
  Object.assign(plan.wishes, wishes);
  return plan;
};

const overEyes = (plan: Plan): number[] => {
  const { cameras, sitter } = sceneOf(plan);
  return cameras.map((c) => (Math.asin((c.point[2] - sitter.eyes[2]) / c.sitterDistance) * 180) / Math.PI);
};

describe("what a camera is set to for its place", () => {
  it("has the lens level with the eyes, or a little over or under them as wished", () => {
    for (const degrees of overEyes(withCamerasSet(wishing({})))) expect(Math.abs(degrees)).toBeLessThan(0.5);
    for (const degrees of overEyes(withCamerasSet(wishing({ eyeLine: "above" }))))
      expect(degrees).toBeCloseTo(4, 0);
    for (const degrees of overEyes(withCamerasSet(wishing({ eyeLine: "below" }))))
      expect(degrees).toBeCloseTo(-4, 0);
  });
  it("stays within its stand's reach, whatever is wished", () => {
    const plan = wishing({ eyeLine: "above" });
    plan.kit.stands[0]!.highest = 1.1;
    for (const camera of withCamerasSet(plan).cameras) expect(camera.height).toBeLessThanOrEqual(1.1);
  });
  it("is stopped down as far as the wished depth asks, by the plan's own figures", () => {
    const stops: number[][] = [];
    for (const depth of ["shallow", "eyes", "face", "leaning"] as const) {
      const set = withCamerasSet(wishing({ depth }));
      const { cameras } = roomFigures(set);
      stops.push(cameras.map((c) => c.stop));
      for (const camera of cameras) {
        expect(camera.stop).toBeGreaterThanOrEqual(2);
        if (depth === "face" && camera.stop < 16) expect(camera.focus.faceIsSharp).toBe(true);
        if (depth === "eyes" && camera.stop < 16) {
          const placed = sceneOf(set).cameras.find((c) => c.id === camera.id)!;
          const { leftEye, rightEye } = sceneOf(set).sitter;
          for (const eye of [leftEye, rightEye]) {
            const ahead = eye.reduce((sum, v, k) => sum + (v - placed.point[k]!) * placed.forward[k]!, 0);
            expect(camera.focus.near).toBeLessThanOrEqual(ahead);
            expect(camera.focus.far ?? Number.POSITIVE_INFINITY).toBeGreaterThanOrEqual(ahead);
          }
        }
      }
    }
    for (const k of [0, 1])
      for (let d = 1; d < stops.length; d++) expect(stops[d]![k]).toBeGreaterThanOrEqual(stops[d - 1]![k]!);
  });
  it("has a shutter over which the mains does not flicker, and an exposure within a third of a stop", () => {
    for (const [hertz, frameRate] of [
      [50, 25],
      [60, 25],
      [50, 24],
      [60, 30],
    ] as const) {
      const plan = wishing({});
      plan.mains.hertz = hertz;
      for (const camera of plan.cameras) camera.frameRate = frameRate;
      const set = withCamerasSet(plan);
      for (const { shutterAngle } of set.cameras)
        expect(
          Math.min(...safeShutterAngles(frameRate, hertz).map((a) => Math.abs(a - shutterAngle))),
        ).toBeLessThan(0.01);
      for (const { off, flicker } of roomFigures(set).light.cameras) {
        expect(Math.abs(off!)).toBeLessThan(0.34);
        expect(flicker.isSafe).toBe(true);
      }
    }
  });
  it("dims lamps together where the least sensitive setting is still too bright, and takes ND first where the body has it", () => {
    const bright = wishing({ depth: "shallow" });
    delete bright.when;
    for (const light of bright.kit.lights) light.lux *= 12;
    const set = withCamerasSet(bright);
    const shares = set.lights.map((l, k) => l.dim / bright.lights[k]!.dim);
    expect(shares[0]).toBeLessThan(0.6);
    for (const { off } of roomFigures(set).light.cameras) expect(Math.abs(off!)).toBeLessThan(0.5);
    const ratio = (plan: Plan): number => roomFigures(plan).light.keyToFillStops!;
    expect(Math.abs(ratio(set) - ratio(bright))).toBeLessThan(0.4);
    bright.kit.bodies[0]!.nd = [2, 4, 6];
    const filtered = withCamerasSet(bright);
    expect(filtered.lights).toEqual(bright.lights);
    expect(filtered.cameras[0]!.nd).toBeGreaterThan(0);
  });
  it("leaves what is pinned as it is", () => {
    const plan = wishing({ pinned: ["A", "key", "fill", "hair"] });
    const set = withCamerasSet(plan);
    expect(set.cameras[0]).toEqual(plan.cameras[0]);
    expect(set.lights).toEqual(plan.lights);
    expect(set.cameras[1]).not.toEqual(plan.cameras[1]);
  });
});

describe("what a proposal sets", () => {
  it("is the wished eye line, a right exposure, a safe shutter; and says it with what moved", () => {
    const { proposals } = proposeStagings(wishing({ eyeLine: "above" }), { seed: 3, evaluations: 6000 });
    expect(proposals.length).toBeGreaterThan(0);
    for (const { plan, moved, rules } of proposals) {
      for (const degrees of overEyes(plan)) expect(degrees).toBeGreaterThan(2);
      for (const { off, flicker } of roomFigures(plan).light.cameras) {
        expect(Math.abs(off!)).toBeLessThan(0.5);
        expect(flicker.isSafe).toBe(true);
      }
      expect(moved.find(({ id }) => id === "A")!.says).toMatch(/, lens 1\.\d\d m high, f\/[\d.]+, ISO \d+/);
      expect(rules.find((r) => r.code === "exposure")!.says).toMatch(
        /^Camera A is .* at f\/[\d.]+ and ISO \d+/,
      );
    }
  });
});
