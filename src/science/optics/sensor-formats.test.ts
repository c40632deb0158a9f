import { describe, expect, it } from "vitest";
import { sensorFormatNames, sensorFromText } from "./sensor-formats.ts";

describe("sensors by name", () => {
  // 24.89 x 18.66 mm: 35 mm, four perforations (SMPTE ST 59, dimensions from memory).
  it.each([
    ["full frame", [36, 24]],
    ["Full-frame 16:9", [36, 20.25]],
    ["super 35", [24.89, 18.66]],
    ["four thirds", [17.3, 13]],
    ["36 x 20.25", [36, 20.25]],
    ["24.9×14 mm", [24.9, 14]],
    ["full frame 1:1", [24, 24]],
  ])("%s", (text, size) => {
    expect(sensorFromText(text)).toEqual(size);
  });
  it("every name that an error offers is understood, and others are not", () => {
    for (const name of sensorFormatNames) expect(sensorFromText(name)).not.toBeNull();
    expect(sensorFromText("the big one")).toBeNull();
  });
});
