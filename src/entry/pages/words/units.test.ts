import { describe, expect, it } from "vitest";
import { number } from "./numbers.ts";
import { distance, unitsOf } from "./units.ts";

// One foot is 0.3048 m exactly (international yard and pound agreement, 1959).
describe("a length of a room", () => {
  it("is told in metres, below one in centimetres", () => {
    expect(distance(2.345, "metric")).toBe(`${number(2.35, 2)} m`);
    expect(distance(0.354, "metric")).toBe("35 cm");
    expect(distance(0.999, "metric")).toBe(`${number(1, 2)} m`);
  });

  it("is told in feet and inches to the half inch", () => {
    expect(distance(0.3048, "feet")).toBe("1 ft");
    expect(distance(0.3048 * 7 + 0.0254 * 8.5, "feet")).toBe("7 ft 8½ in");
    expect(distance(0.0127, "feet")).toBe("½ in");
    expect(distance(0.3048 * 2 - 0.001, "feet")).toBe("2 ft");
    expect(distance(-0.3048, "feet")).toBe("−1 ft");
  });
});

describe("the units of a reader who chose none", () => {
  it.each([
    ["en-US", "feet"],
    ["en_US@posix", "feet"],
    ["es-Latn-US", "feet"],
    ["en-GB", "metric"],
    ["de", "metric"],
    ["C", "metric"],
    ["", "metric"],
  ])("of %j are %s", (language, units) => expect(unitsOf(language)).toBe(units));
});
