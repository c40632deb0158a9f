import { describe, expect, it } from "vitest";
import { type Plan, planSchema } from "#documents/plan";
import { roomFigures } from "./room.ts";

/** A room 6 x 5 m with a door at its lower left; sitter and interviewer above the middle. */
const wired = (lamp: readonly [number, number], change: Record<string, unknown> = {}): Plan =>
  planSchema.parse({
    kind: "gemel.plan",
    version: 1,
    room: {
      outline: [
        [0, 0],
        [6, 0],
        [6, 5],
        [0, 5],
      ],
      height: 2.7,
      openings: [{ id: "door", kind: "door", wall: 0, from: 0.4, width: 0.9, sill: 0, height: 2 }],
      ...(change["room"] as object),
    },
    sitter: { at: [4.5, 3.5], heading: 270 },
    interviewer: { at: [3, 3.5], heading: 90 },
    kit: {
      lights: [
        {
          id: "panel",
          name: "Panel",
          lux: 1000,
          atMetres: 1,
          beamDegrees: 90,
          kelvin: 5600,
          face: [0.3, 0.3],
          watts: 60,
        },
      ],
    },
    lights: [{ id: "key", light: "panel", role: "key", at: lamp, height: 1.8 }],
    ...(change["mains"] !== undefined && { mains: change["mains"] }),
  });

const cableOf = (plan: Plan) => roomFigures(plan).geometry.cables[0]!;
const circuit = (...outlets: [number, number][]) => ({
  mains: { circuits: [{ id: "ring", name: "ring", amperes: 16, outlets }], on: { key: "ring" } },
});

describe("cables over the floor", () => {
  it("goes straight to the nearest wall where nothing is in the way, a square more or less", () => {
    const cable = cableOf(wired([5, 1]));
    expect(cable).toMatchObject({ to: "wall", crossesWalkway: false });
    expect(Math.abs(cable.metres - 1)).toBeLessThan(0.2);
  });
  it("goes round by the walls to its outlet rather than across the way from the door", () => {
    // Straight from the lamp to the outlet is 4.6 m, through the way that leads up from the door to the chair.
    const cable = cableOf(wired([5, 1], circuit([0.05, 2])));
    expect(cable).toMatchObject({ to: "outlet", crossesWalkway: false });
    expect(cable.metres).toBeGreaterThan(5.05);
    // Along three walls it is at most 4 + 5 + 3 and the way to them.
    expect(cable.metres).toBeLessThan(13);
    expect(cable.path.at(-1)![0]).toBeLessThan(0.2);
  });
  it("crosses where there is no other way, and a finding says how to cover it", () => {
    // A bench under the upper wall, down to the chair: there is no way round behind the chair.
    const shut = {
      room: {
        furniture: [{ id: "bench", name: "the bench", at: [1.8, 4.4], size: [3.6, 1.2, 0.8] }],
      },
      ...circuit([0.05, 1]),
    };
    const plan = wired([5, 1], shut);
    expect(cableOf(plan).crossesWalkway).toBe(true);
    const finding = roomFigures(plan).findings.find((f) => f.code === "room.cable-across-way")!;
    expect(finding.says).toMatch(/cable of the key light \([\d.]+ m\) crosses where people walk/);
    expect(finding.remedy).toMatch(/tape it down.*Local codes decide/);
  });
  it("goes round furniture, and a lamp on a battery has none", () => {
    const box = { id: "case", name: "the case", at: [5.4, 1], size: [1, 1, 1] };
    const cable = cableOf(wired([4.6, 1], { ...circuit([5.95, 1]), room: { furniture: [box] } }));
    // 0.9 m to the corner's height twice, round a square of 1 m, instead of 1.35 m straight.
    expect(cable.metres).toBeGreaterThan(1.7);
    const plan = wired([5, 1]);
    plan.kit.lights[0]!.batteryWattHours = 100;
    expect(roomFigures(plan).geometry.cables).toEqual([]);
  });
});
