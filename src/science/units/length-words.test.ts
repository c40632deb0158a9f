import { describe, expect, it } from "vitest";
import { lengthFromText, lengthWords } from "./length-words.ts";

describe("lengths as people write them", () => {
  // 1 ft = 0.3048 m and 1 in = 0.0254 m exactly (international yard and pound agreement, 1959).
  it.each([
    ["2.5", 2.5],
    ["2,5 m", 2.5],
    ["85 cm", 0.85],
    ["850mm", 0.85],
    [`8'6"`, 2.5908],
    ["8'6", 2.5908],
    ["8 ft 6 in", 2.5908],
    [`8' 6 1/2"`, 2.6035],
    ["3/4 in", 0.01905],
    ["8’6”", 2.5908],
    ["1 m 20 cm", 1.2],
    ["-30 cm", -0.3],
    ["12 feet", 3.6576],
  ])("%s is %f m", (text, metres) => {
    expect(lengthFromText(text)).toBeCloseTo(metres, 9);
  });
  it.each(["", "near the door", "8 stone", "2 m or so", "5 3", "'", "1 2 3 m"])("%s is no length", (text) => {
    expect(lengthFromText(text)).toBeNull();
  });
  it.each([
    [0.04, "4 cm", `1.5"`],
    [2.46, "2.46 m", `8' 1"`],
    [3.6576, "3.66 m", "12'"],
    [12.3, "12.3 m", `40' 4"`],
  ])("%f m is told as %s or %s", (metres, metric, feet) => {
    expect(lengthWords(metres)).toBe(metric);
    expect(lengthWords(metres, "feet")).toBe(feet);
  });
});
