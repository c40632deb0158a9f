import { describe, expect, it } from "vitest";
import { applyChange, changesConflict, saidOf, withSaid } from "./apply-change.ts";
import { planSchema } from "./plan.ts";
import { type Change, changeSchema } from "./said.ts";
import { defaultDecisions, type Sitting } from "./sitting.ts";

const sitting: Sitting = {
  kind: "gemel.sitting",
  version: 1,
  title: "The tide-mill loft",
  createdAt: "2025-11-06T10:00:00Z",
  cards: [],
  places: [],
  roles: [],
  decisions: defaultDecisions,
};
const plan = planSchema.parse({
  kind: "gemel.plan",
  version: 1,
  room: {
    outline: [
      [0, 0],
      [6, 0],
      [6, 4],
    ],
    height: 2.6,
  },
  sitter: { at: [3, 1], heading: 270 },
  interviewer: { at: [1, 1], heading: 90 },
  units: "feet",
  cameras: [{ id: "A", body: "b", lens: "l", at: [1, 0.5] }],
});
const whole: Change = { kind: "plan", what: "a first plan", plan };
const moved: Change = {
  kind: "plan",
  what: "camera A",
  plan: { cameras: [{ ...plan.cameras[0]!, at: [2, 1] }] },
};

describe("a change of the plan", () => {
  it("gives a first plan, changes a part of it, and takes it out again", () => {
    const none = saidOf(sitting);
    const first = applyChange(none, whole);
    const second = applyChange(first, moved);
    expect(second.plan).toEqual({ ...plan, cameras: [{ ...plan.cameras[0]!, at: [2, 1] }] });
    expect(applyChange(second, { kind: "plan", what: "none", plan: null })).toEqual(none);
  });

  it("is nothing where it gives a part of no plan", () => {
    const none = saidOf(sitting);
    expect(applyChange(none, moved)).toEqual(none);
  });

  it("comes over a line with what is said alone: no default is added to what is left out", () => {
    const parsed = changeSchema.parse(JSON.parse(JSON.stringify(moved)));
    expect(Object.keys((parsed as { plan: object }).plan)).toEqual(["cameras"]);
    expect(changeSchema.safeParse({ kind: "plan", what: "x", plan: { cameras: [{ id: 3 }] } }).success).toBe(
      false,
    );
  });

  it("lies in the sitting, and no key is there without a plan", () => {
    const kept = withSaid(sitting, applyChange(saidOf(sitting), whole));
    expect(saidOf(kept).plan).toEqual(plan);
    expect(withSaid(kept, saidOf(sitting))).not.toHaveProperty("plan");
  });

  it("stands in the way of another of the same part alone", () => {
    const lights: Change = { kind: "plan", what: "the key", plan: { lights: [] } };
    expect(changesConflict(moved, lights)).toBe(false);
    expect(changesConflict(moved, { ...moved, plan: { cameras: [] } })).toBe(true);
    expect(changesConflict(whole, moved)).toBe(true);
  });
});
