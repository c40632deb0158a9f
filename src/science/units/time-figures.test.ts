import { expect, it } from "vitest";
import { durationFigure, momentFigure } from "./time-figures.ts";

it("names moments by minutes and seconds, before nought with a true minus", () => {
  expect([41.9, 0, -0.4, -3.2, 3727].map(momentFigure)).toEqual(["0:41", "0:00", "0:00", "−0:03", "62:07"]);
});

it("names durations to a tenth under two seconds, then whole", () => {
  expect([0.84, 1.9, 6.2, 59.7, 80, 120].map(durationFigure)).toEqual([
    "0.8 s",
    "1.9 s",
    "6 s",
    "1 min",
    "1 min 20 s",
    "2 min",
  ]);
});
