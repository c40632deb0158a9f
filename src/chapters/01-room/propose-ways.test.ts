import { describe, expect, it } from "vitest";
import { planSchema } from "#documents/plan";
import { type FloorDisc, goalsCutOff, wayGridOf } from "./propose-ways.ts";
import { wallsOf } from "./scene-walls.ts";

const plan = planSchema.parse({
  kind: "gemel.plan",
  version: 1,
  room: {
    outline: [
      [0, 0],
      [6, 0],
      [6, 4],
      [0, 4],
    ],
    height: 2.6,
    openings: [{ id: "door", kind: "door", wall: 3, from: 1.5, width: 0.9, sill: 0, height: 2 }],
    furniture: [
      { id: "low", name: "the wall of boxes", at: [3, 1], size: [0.4, 2, 1] },
      { id: "high", name: "the lamp", at: [1.5, 2], size: [1, 4, 0.2], base: 2.2 },
    ],
  },
  sitter: { at: [5, 2], heading: 270 },
  interviewer: { at: [4, 2], heading: 90 },
});

describe("ways over the floor", () => {
  const grid = wayGridOf(plan, wallsOf(plan.room), plan.room.furniture);
  const chair: FloorDisc = [4.5, 1, 0];
  // The boxes leave y from 2 to 4 free at x = 3; a stand on the wall's side narrows it.
  const gap = (metres: number): FloorDisc[] => [[3, 2 + metres + 0.5, 0.5]];
  it("passes a gap of 0.9 m and not one of 0.55 m, where 0.7 m is asked", () => {
    expect(goalsCutOff(grid, [], [chair])).toBe(0);
    expect(goalsCutOff(grid, [...gap(0.9), [3, 3.7, 0.4]], [chair])).toBe(0);
    expect(goalsCutOff(grid, [...gap(0.55), [3, 3.7, 0.4]], [chair])).toBe(1);
  });
  it("counts each goal, and lets a hand reach a stand that the way passes", () => {
    const shut = [...gap(0.3), [3, 3.7, 0.4]] as FloorDisc[];
    expect(goalsCutOff(grid, shut, [chair, [1.5, 1, 0.4], [5.4, 3, 0.4]])).toBe(2);
    // A stand in a corner is reached over its legs.
    expect(goalsCutOff(grid, [[5.6, 3.6, 0.4]], [[5.6, 3.6, 0.4]])).toBe(0);
  });
  it("asks for no way in a room without a door", () => {
    const shut = { ...plan, room: { ...plan.room, openings: [] } };
    const none = wayGridOf(shut, wallsOf(shut.room), shut.room.furniture);
    expect(goalsCutOff(none, gap(0), [chair])).toBe(0);
  });
});
