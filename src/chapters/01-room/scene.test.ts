import { describe, expect, it } from "vitest";
import { planSchema } from "#documents/plan";
import { placeInFrame } from "#science/optics/pin-hole";
import { sceneOf } from "./scene.ts";
import { firstHit, isClear } from "./scene-rays.ts";

const plan = planSchema.parse({
  kind: "gemel.plan",
  version: 1,
  room: {
    // Drawn clockwise on purpose.
    outline: [
      [0, 0],
      [0, 4],
      [6, 4],
      [6, 0],
    ],
    height: 2.7,
    openings: [{ id: "w", kind: "window", wall: 2, from: 1, width: 1, sill: 0.9, height: 1.2 }],
    furniture: [{ id: "bin", name: "bin", at: [3, 3], size: [1, 0.5, 0.8] }],
  },
  sitter: { at: [4, 2], heading: 270 },
  interviewer: { at: [1.8, 2.6], heading: 100 },
  kit: {
    bodies: [{ id: "b", name: "Large", sensor: [36, 20.25], pixels: [3840, 2160] }],
    lenses: [{ id: "z", name: "Zoom", focal: [24, 105], stop: 4, closeFocus: 0.45 }],
    microphones: [{ id: "m", name: "Clip", pattern: "omni" }],
  },
  cameras: [
    { id: "A", body: "b", lens: "z", at: [1.8, 1.6] },
    { id: "B", body: "b", lens: "nothing", at: [2, 1] },
  ],
  microphones: [{ id: "lav", microphone: "m", role: "lav" }],
});

describe("the scene of a plan", () => {
  const scene = sceneOf(plan);
  it("leaves out a camera whose lens is not in the kit", () => {
    expect(scene.cameras.map((c) => c.id)).toEqual(["A"]);
  });
  it("sets a zoom and aims the camera for its shot, with look room on the side the sitter looks to", () => {
    const [a] = scene.cameras;
    const eyes = placeInFrame(a!, scene.sitter.eyes)!;
    const crown = placeInFrame(a!, scene.sitter.crown)!;
    // The sitter faces west, the interviewer is north of the lens: to the sitter's right, the frame's left.
    expect(eyes.x).toBeCloseTo(0.58, 6);
    expect(crown.y).toBeGreaterThan(0.07);
    expect(crown.y).toBeLessThan(0.13);
    const waist = 0.46 + 0.123 * 1.7;
    expect(placeInFrame(a!, [4, 2, waist])!.y).toBeCloseTo(1, 1);
    expect(a!.focalMm).toBeGreaterThan(24);
    expect(a!.focalMm).toBeLessThan(105);
  });
  it("has walls that look inwards whichever way the outline runs, and finds the window in its wall", () => {
    for (const wall of scene.walls) {
      const [x, y] = [
        (wall.from[0] + wall.to[0]) / 2 + wall.inward[0] * 0.1,
        (wall.from[1] + wall.to[1]) / 2 + wall.inward[1] * 0.1,
      ];
      expect(x > 0 && x < 6 && y > 0 && y < 4).toBe(true);
    }
    const hit = firstHit(scene, [4, 2.5, 1.2], [1, 0, 0])!;
    expect(hit.kind).toBe("opening");
    expect(hit.opening!.said.id).toBe("w");
    expect(hit.metres).toBeCloseTo(2, 9);
    expect(firstHit(scene, [3, 0.5, 0.5], [0, 1, 0])).toMatchObject({ kind: "furniture", furniture: "bin" });
    expect(isClear(scene, [3, 1, 0.5], [3, 3.8, 0.5])).toBe(false);
    expect(isClear(scene, [3, 1, 1.5], [3, 3.8, 1.5])).toBe(true);
  });
  it("widens a lens that breathes by its share at close focus, by half of it at twice that distance, and not far off", () => {
    const halfAngle = (breathing: number, focus: number): number => {
      const lens = { ...plan.kit.lenses[0]!, breathing, closeFocus: 0.5 };
      const camera = { ...plan.cameras[0]!, focalLength: 50, focus };
      return sceneOf({ ...plan, kit: { ...plan.kit, lenses: [lens] }, cameras: [camera] }).cameras[0]!
        .tanHalfWidth;
    };
    // tan of half the angle is 18 mm over 50 mm.
    expect(halfAngle(0, 0.5)).toBeCloseTo(18 / 50, 9);
    expect(halfAngle(0.06, 0.5)).toBeCloseTo((18 / 50) * 1.06, 9);
    expect(halfAngle(0.06, 1)).toBeCloseTo((18 / 50) * 1.03, 9);
    expect(halfAngle(0.06, 50)).toBeCloseTo(18 / 50, 2);
  });
  it("sees through a squeeze of 1.33 that much broader, no higher, and frames by the broader picture", () => {
    const squeezed = (squeeze: number) => {
      const body = { ...plan.kit.bodies[0]!, squeeze };
      return sceneOf({ ...plan, kit: { ...plan.kit, bodies: [body] } }).cameras[0]!;
    };
    const [plainOne, broad] = [squeezed(1), squeezed(1.33)];
    expect(broad.tanHalfWidth / plainOne.tanHalfWidth).toBeCloseTo(1.33, 9);
    expect(broad.tanHalfHeight).toBeCloseTo(plainOne.tanHalfHeight, 9);
    expect(broad.aspect / plainOne.aspect).toBeCloseTo(1.33, 9);
  });
});
