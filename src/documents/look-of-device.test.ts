import { describe, expect, it } from "vitest";
import { looksOfDevice, lutsAt } from "./look-of-device.ts";

const once = { lut: "b.cube", viewLut: "view.cube", match: null };
const twice = {
  ...once,
  setups: [
    { from: null, to: 600, viewLut: "view.cube", luts: { B: "b.cube" } },
    { from: 600, to: null, viewLut: "view-2.cube", luts: { B: "b-2.cube", C: "c-2.cube" } },
  ],
};

describe("looksOfDevice", () => {
  it("gives the match before the view, and the leading camera the view alone", () => {
    expect(lutsAt(looksOfDevice(once, "B", "A", ["A", "B"]), 12)).toEqual(["b.cube", "view.cube"]);
    expect(lutsAt(looksOfDevice(once, "A", "A", ["A", "B"]), 12)).toEqual(["view.cube"]);
  });
  it("gives nothing where nothing is known, and none of another's match to a third camera", () => {
    expect(looksOfDevice(undefined, "B", "A", ["A", "B"])).toEqual([]);
    expect(looksOfDevice(once, "C", "A", ["A", "B", "C"])).toEqual([]);
  });
  it("changes with the setup: a chart serves from when it was filmed until the next", () => {
    const b = looksOfDevice(twice, "B", "A", ["A", "B", "C"]);
    expect(lutsAt(b, 599.9)).toEqual(["b.cube", "view.cube"]);
    expect(lutsAt(b, 600)).toEqual(["b-2.cube", "view-2.cube"]);
    expect(lutsAt(b, null)).toEqual(["b.cube", "view.cube"]);
    expect(lutsAt(looksOfDevice(twice, "C", "A", ["A", "B", "C"]), 100)).toEqual([]);
    expect(lutsAt(looksOfDevice(twice, "A", "A", ["A", "B", "C"]), 700)).toEqual(["view-2.cube"]);
  });
});
