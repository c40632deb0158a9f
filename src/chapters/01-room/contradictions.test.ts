import { describe, expect, it } from "vitest";
import { loftPlan } from "#demo/loft-plan";
import type { Plan } from "#documents/plan";
import { contradictionsOf } from "./contradictions.ts";

type Loose = { [key: string]: Loose } & Loose[] & string & number & unknown[];

/** The loft with one slip. */
function slip(change: (plan: Loose) => void): Plan {
  const copy = structuredClone(loftPlan) as unknown as Loose;
  change(copy);
  return copy as unknown as Plan;
}

describe("contradictions, told in pairs", () => {
  it("the demo's plan has none", () => {
    expect(contradictionsOf(loftPlan)).toEqual([]);
  });
  const set = (path: string, value: unknown) => (plan: Loose) => {
    const keys = path.split(".");
    const last = keys.pop()!;
    const holder = keys.reduce<unknown>((at, key) => (at as Record<string, unknown>)[key], plan);
    (holder as Record<string, unknown>)[last] = value;
  };
  it.each([
    ["plan.no-such-wall", set("room.openings.0.wall", 9), "tall-window", "wall-9"],
    ["plan.opening-past-wall", set("room.openings.1.width", 4), "end-window", "wall-2"],
    ["plan.opening-past-ceiling", set("room.openings.0.height", 3), "tall-window", "ceiling"],
    ["plan.outside-room", set("cameras.0.at", [2.7, -0.4]), "A", "room"],
    ["plan.inside-furniture", set("cameras.1.at", [5.2, 4.9]), "B", "cask"],
    ["plan.one-place", set("lights.0.at", [2.049, 1.51]), "interviewer", "key"],
    ["plan.above-ceiling", set("lights.0.height", 3), "key", "ceiling"],
    ["plan.furniture-through-wall", set("room.furniture.10.at", [5.7, 4.9]), "cask", "room"],
    ["plan.furniture-in-door", set("room.furniture.10.at", [5, 0.35]), "cask", "door"],
    ["plan.kit-missing", set("cameras.0.lens", "macro"), "A", "macro"],
    ["plan.focal-outside-zoom", set("cameras.1.focalLength", 300), "B", "long-zoom"],
    ["plan.stop-too-wide", set("cameras.0.stop", 2), "A", "standard-zoom"],
    ["plan.focus-too-close", set("cameras.1.focus", 0.5), "B", "long-zoom"],
    ["plan.frame-rate-missing", set("cameras.0.frameRate", 120), "A", "large"],
    ["plan.iso-missing", set("cameras.0.iso", 1000), "A", "large"],
    ["plan.stand-does-not-reach", set("cameras.0.height", 2.4), "A", "tripod"],
    ["plan.stand-overloaded", set("kit.stands.0.loadKg", 1), "A", "tripod"],
    ["plan.dims-too-far", set("lights.0.dim", 0.01), "key", "panel"],
    ["plan.kelvin-outside-light", set("lights.0.kelvin", 10_000), "key", "panel"],
    ["plan.slide-too-long", set("kit.sliders.0.travel", 0.2), "slide", "rail"],
    ["plan.slide-too-fast", set("slides.0.seconds", 2), "slide", "rail"],
    ["plan.slider-overloaded", set("kit.sliders.0.loadKg", 1), "slide", "rail"],
    ["plan.camera-off-rail", set("cameras.1.at", [3.6, 1.2]), "B", "slide"],
    ["plan.show-and-hide", set("wishes.hide", ["stones"]), "stones", "stones"],
    ["plan.wish-for-nothing", set("wishes.show", ["piano"]), "wishes", "piano"],
    ["plan.pin-on-nothing", set("wishes.pinned", ["C"]), "wishes", "C"],
    ["plan.no-such-material", set("room.materials.floor", "moss"), "the floor", "moss"],
    ["plan.hours-backwards", set("when.to", "09:30"), "from", "to"],
    ["plan.same-id", set("lights.1.id", "key"), "key", "key"],
  ])("%s", (code, change, one, other) => {
    const found = contradictionsOf(slip(change)).filter((c) => c.code === code);
    expect(found.map((c) => c.between)).toContainEqual([one, other]);
    for (const { says, remedy } of found) {
      expect(says).toMatch(/^\S.*\.$/);
      expect(remedy).toMatch(/^[A-Z].*\.$/);
    }
  });
  it("walls that cross are told once, and a room without a floor too", () => {
    const bow = slip(
      set("room.outline", [
        [0, 0],
        [4, 4],
        [4, 0],
        [0, 4],
      ]),
    );
    expect(contradictionsOf(bow).filter((c) => c.code === "plan.walls-cross")).toHaveLength(1);
    const flat = slip(
      set("room.outline", [
        [0, 0],
        [4, 0],
        [8, 0],
      ]),
    );
    expect(contradictionsOf(flat).map((c) => c.code)).toContain("plan.room-flat");
  });
  it("two windows in one place of a wall are told by both names", () => {
    const plan = slip((p) => {
      const openings = p["room"]!["openings"] as unknown as object[];
      openings.push({ ...(openings[0] as object), id: "second", name: "second window", from: 4.5 });
    });
    const [found] = contradictionsOf(plan);
    expect(found!.between).toEqual(["tall-window", "second"]);
    expect(found!.says).toBe("The tall window and the second window overlap by 80 cm in wall 3.");
  });
});
