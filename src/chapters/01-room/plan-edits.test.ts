import { describe, expect, it } from "vitest";
import { type Plan, planSchema } from "#documents/plan";
import { smallPlan as plan } from "../../../test/helpers/small-plan.ts";
import { freeId, movedTo, placeOf, snapped, turnedBy, without } from "./plan-edits.ts";
import { sceneOf } from "./scene.ts";

const applied = (edit: { plan: Partial<Plan> } | null): Plan => ({ ...plan, ...edit!.plan });

describe("moving things of a plan", () => {
  it("takes the rail along with its camera, and the boom with the sitter", () => {
    const moved = applied(movedTo(plan, "A", [2, 1.5]));
    expect(moved.cameras[0]!.at).toEqual([2, 1.5]);
    expect(moved.slides[0]!.from).toEqual([2, 1.5, 1.2]);
    expect(moved.slides[0]!.to).toEqual([2, 0.9, 1.2]);
    expect(applied(movedTo(plan, "sitter", [4.1, 2.2])).microphones[0]!.at).toEqual([3.9, 2.2, 1.6]);
    expect(applied(movedTo(plan, "boom", [4, 3.5])).microphones[0]!.standAt).toEqual([4, 3.5]);
  });

  it("changes nothing else, and finds every thing where it was put", () => {
    for (const id of ["sitter", "interviewer", "A", "key", "boom", "bin", "s"]) {
      const edit = movedTo(plan, id, [3.25, 2.75])!;
      expect(placeOf(applied(edit), id)).toEqual([3.25, 2.75]);
      expect(edit.what).not.toBe("");
      expect(planSchema.safeParse(applied(edit)).success).toBe(true);
    }
    expect(movedTo(plan, "nobody", [1, 1])).toBeNull();
  });

  it("snaps to a grid of 5 cm", () => {
    expect(snapped([1.234, -0.51], 0.05)).toEqual([1.25, -0.5]);
  });
});

describe("turning things", () => {
  it("turns a camera from where it was aimed, and from then on it is aimed by hand", () => {
    const before = sceneOf(plan).cameras[0]!.pan;
    const turned = applied(turnedBy(plan, "A", 5));
    expect(sceneOf(turned).cameras[0]!.pan).toBeCloseTo(before + 5, 0);
    expect(turned.cameras[0]!.tilt).toBeDefined();
  });

  it("turns people, lights, furniture and rails clockwise seen from above", () => {
    expect(applied(turnedBy(plan, "sitter", 100)).sitter.heading).toBe(10);
    expect(applied(turnedBy(plan, "bin", -5)).room.furniture[0]!.heading).toBe(355);
    // The rail points down the drawing; a quarter turn clockwise brings it to the left.
    const [x, y] = applied(turnedBy(plan, "s", 90)).slides[0]!.to;
    expect(x).toBeCloseTo(1.2, 3);
    expect(y).toBeCloseTo(1.6, 3);
    const aim = applied(turnedBy(plan, "key", 180)).lights[0]!.aim!;
    expect(aim[0]).toBeLessThan(2.5);
  });
});

describe("taking things out and naming new ones", () => {
  it("takes the slide out with its camera", () => {
    const less = applied(without(plan, "A"));
    expect(less.cameras).toEqual([]);
    expect(less.slides).toEqual([]);
    expect(without(plan, "sitter")).toBeNull();
  });
  it("finds a free id", () => {
    expect(freeId(plan, "key")).toBe("key-2");
    expect(freeId(plan, "lamp")).toBe("lamp");
  });
});
