import { describe, expect, it } from "vitest";
import { planFromText } from "./plan-from-text.ts";

const plan = {
  kind: "gemel.plan",
  version: 1,
  units: "feet",
  when: { date: "2025-11-06", from: "10:00", to: "13:00" },
  room: {
    outline: [
      ["0", 0],
      ["16' 6\"", 0],
      ["16'6", "12 ft"],
      [0, "12 ft"],
    ],
    height: "8'6\"",
  },
  sitter: { at: ["2.5 m", "250 cm"], heading: 180, seatHeight: "18 in" },
  interviewer: { at: [2, 1], heading: 0 },
  kit: { bodies: [{ id: "b", name: "Body", sensor: "super 35 16:9", pixels: [3840, 2160] }] },
  note: "kept",
};

describe("a plan's text", () => {
  it("takes lengths in metres, or in feet and inches, and leaves the hours alone", () => {
    const read = planFromText(JSON.stringify(plan), "loft.json");
    expect(read.room.outline[2]![0]).toBeCloseTo(5.0292, 9);
    expect(read.room.height).toBeCloseTo(2.5908, 9);
    expect(read.sitter.at).toEqual([2.5, 2.5]);
    expect(read.sitter.seatHeight).toBeCloseTo(0.4572, 9);
    expect(read.when!.from).toBe("10:00");
    expect(read.kit.bodies[0]!.sensor[1]).toBeCloseTo((24.89 * 9) / 16, 9);
    expect(read["note"]).toBe("kept");
  });
  it.each([
    ["{", "DOCUMENT_NOT_JSON", "is not JSON"],
    ["[]", "DOCUMENT_INVALID", "is not a plan"],
    ["null", "DOCUMENT_INVALID", "is not a plan"],
    [JSON.stringify({ ...plan, version: 9 }), "DOCUMENT_FROM_THE_FUTURE", "version 9"],
    [
      JSON.stringify({ ...plan, room: { ...plan.room, height: "tall" } }),
      "DOCUMENT_INVALID",
      '"tall" for room.height',
    ],
    [
      JSON.stringify({ ...plan, kit: { bodies: [{ ...plan.kit.bodies[0], sensor: "huge" }] } }),
      "DOCUMENT_INVALID",
      '"huge" for kit.bodies.0.sensor',
    ],
    [JSON.stringify({ ...plan, sitter: { at: [1, 2] } }), "DOCUMENT_INVALID", "sitter.heading"],
    [
      JSON.stringify({ ...plan, room: { ...plan.room, outline: [[0, 0]] } }),
      "DOCUMENT_INVALID",
      "room.outline",
    ],
  ])("%s is refused with %s", (text, code, words) => {
    expect(() => planFromText(text, "loft.json")).toThrow(
      expect.objectContaining({ code, message: expect.stringContaining(words) }),
    );
  });
});
