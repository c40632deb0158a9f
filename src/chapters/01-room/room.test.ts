import { fc, test } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import { loftPlan } from "#demo/loft-plan";
import { type Plan, planSchema } from "#documents/plan";
import { roomResultSchema } from "#documents/room-result";
import { signedArea } from "#science/geometry/polygon";
import { room, roomFigures, roomVerdict } from "./room.ts";
import { sceneOf } from "./scene.ts";

const spot = fc.tuple(
  fc.double({ min: -2, max: 9, noNaN: true }),
  fc.double({ min: -2, max: 9, noNaN: true }),
);
const angle = fc.double({ min: -720, max: 720, noNaN: true });

/** The loft with everything thrown about: outside walls, on top of each other, looking anywhere. */
const thrown = fc
  .record({
    sitter: spot,
    interviewer: spot,
    a: spot,
    b: spot,
    heading: angle,
    pan: fc.option(angle, { nil: undefined }),
    tilt: fc.option(fc.double({ min: -90, max: 90, noNaN: true }), { nil: undefined }),
    key: spot,
    boom: fc.tuple(spot, fc.double({ min: -1, max: 4, noNaN: true })),
    to: fc.tuple(spot, fc.double({ min: 0, max: 3, noNaN: true })),
    corner: spot,
    stands: fc.boolean(),
  })
  .map((t): Plan => {
    const plan = structuredClone(loftPlan);
    plan.sitter.at = t.sitter;
    plan.sitter.heading = t.heading;
    if (t.stands) plan.sitter.seatHeight = null;
    plan.interviewer.at = t.interviewer;
    plan.cameras[0]!.at = t.a;
    if (t.pan !== undefined) plan.cameras[0]!.pan = t.pan;
    if (t.tilt !== undefined) plan.cameras[0]!.tilt = t.tilt;
    plan.cameras[1]!.at = t.b;
    plan.lights[0]!.at = t.key;
    plan.microphones[1]!.at = [...t.boom[0], t.boom[1]];
    plan.slides[0]!.to = [...t.to[0], t.to[1]];
    plan.room.outline[2] = t.corner;
    return plan;
  });

describe("Room", () => {
  test.prop([thrown], { numRuns: 40 })("answers any plan with figures that are numbers", (plan) => {
    // A room without a floor is told as a contradiction; it has no sound to measure.
    fc.pre(Math.abs(signedArea(plan.room.outline)) > 0.5);
    const result = roomFigures(plan);
    roomResultSchema.parse(result);
    expect(roomVerdict(result)).toMatch(/^[A-Z].*\.$/s);
    for (const { says, remedy } of result.findings) {
      expect(says).not.toMatch(/undefined|NaN|Infinity|null/);
      expect(remedy).not.toMatch(/undefined|NaN|Infinity|null/);
    }
  });
  it("bears everything in one place", () => {
    const plan = structuredClone(loftPlan);
    for (const thing of [plan.sitter, plan.interviewer, ...plan.cameras, ...plan.lights]) thing.at = [2, 2];
    plan.cameras[0]!.height = sceneOf(plan).sitter.eyes[2];
    plan.slides[0]!.to = plan.slides[0]!.from;
    const result = roomFigures(plan);
    roomResultSchema.parse(result);
    expect(result.findings.filter((f) => f.code === "plan.one-place").length).toBeGreaterThan(3);
  });
  it("waits for a plan, and says where one is made", () => {
    const view = { sitting: {}, recordings: [], results: {} } as unknown as Parameters<typeof room.inputs>[0];
    expect(room.inputs(view)).toHaveProperty("missing");
  });
  it("tells lengths in feet where the plan is in feet", () => {
    const plan = planSchema.parse({ ...loftPlan, units: "feet" });
    plan.microphones[1]!.at = [2.62, 3.1, 1.3];
    expect(roomVerdict(roomFigures(plan))).toMatch(/hangs 5" into camera A/);
  });
  it("turning the whole plan changes no figure of a camera", () => {
    const turned = structuredClone(loftPlan);
    const turn = ([x, y]: readonly number[]): [number, number] => [y!, -x!];
    const turn3 = ([x, y, z]: readonly number[]): [number, number, number] => [y!, -x!, z!];
    turned.room.outline = turned.room.outline.map(turn);
    for (const piece of turned.room.furniture) {
      piece.at = turn(piece.at);
      piece.heading += 90;
    }
    for (const person of [turned.sitter, turned.interviewer]) {
      person.at = turn(person.at);
      person.heading += 90;
    }
    for (const thing of [...turned.cameras, ...turned.lights]) thing.at = turn(thing.at);
    for (const light of turned.lights) if (light.aim) light.aim = turn3(light.aim);
    for (const m of turned.microphones) {
      if (m.at) m.at = turn3(m.at);
      if (m.standAt) m.standAt = turn(m.standAt);
    }
    for (const m of turned.monitors) [m.at, m.heading] = [turn3(m.at), m.heading + 90];
    for (const s of turned.slides) [s.from, s.to] = [turn3(s.from), turn3(s.to)];
    turned.room.bearing -= 90;
    const [before, after] = [roomFigures(loftPlan), roomFigures(turned)];
    for (const [k, camera] of before.cameras.entries()) {
      const { pan, point: _, ...rest } = after.cameras[k]!;
      expect((pan - camera.pan + 720) % 360).toBeCloseTo(90, 6);
      const flat = (value: unknown): unknown =>
        JSON.parse(JSON.stringify(value, (_k, v) => (typeof v === "number" ? Math.round(v * 1e6) / 1e6 : v)));
      const { pan: _p, point: _q, ...was } = camera;
      expect(flat(rest)).toEqual(flat(was));
    }
    expect(after.findings.map((f) => f.code)).toEqual(before.findings.map((f) => f.code));
  });
});
