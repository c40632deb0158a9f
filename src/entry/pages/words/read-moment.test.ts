import { expect, it } from "vitest";
import { readMoment } from "./read-moment.ts";
import { clockTime } from "./times.ts";

it.each([
  ["62", 62],
  ["1:02", 62],
  ["1:02.5", 62.5],
  ["1:02,5", 62.5],
  ["1:00:02", 3602],
  [" 0:07 ", 7],
])("reads %s as people mean it", (text, seconds) => {
  expect(readMoment(text)).toBe(seconds);
});

it.each(["", "soon", "1:75", "1:2:3:4", "-3"])("takes %s for no moment", (text) => {
  expect(readMoment(text)).toBeNull();
});

it("reads back what the page writes", () => {
  for (const seconds of [0, 7.4, 62.5, 3599.9, 4211.3])
    expect(readMoment(clockTime(seconds, true))).toBeCloseTo(seconds, 6);
});
