import { describe, expect, it } from "vitest";
import { planSchema } from "./plan.ts";
import { planKey } from "./plan-key.ts";

const plan = planSchema.parse({
  kind: "gemel.plan",
  version: 1,
  room: {
    outline: [
      [0, 0],
      [4, 0],
      [4, 3],
      [0, 3],
    ],
    height: 2.6,
  },
  sitter: { at: [2, 2], heading: 180 },
  interviewer: { at: [2, 1], heading: 0 },
});

describe("the name of a plan's content", () => {
  it("is the same whatever the order of the keys, after a way through JSON, and with keys that hold nothing", () => {
    const turned = Object.fromEntries(Object.entries(plan).reverse()) as typeof plan;
    expect(planKey(turned)).toBe(planKey(plan));
    expect(planKey(JSON.parse(JSON.stringify(plan)))).toBe(planKey(plan));
    expect(planKey({ ...plan, title: undefined })).toBe(planKey(plan));
    expect(planKey(plan)).toMatch(/^[0-9a-f]{16}$/);
  });

  it("is another one once anything moves by a millimetre", () => {
    expect(planKey({ ...plan, sitter: { ...plan.sitter, at: [2.001, 2] } })).not.toBe(planKey(plan));
  });
});
