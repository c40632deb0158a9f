import { expect, it } from "vitest";
import { durationFigure, hoursMinutes, momentFigure } from "./time-figures.ts";

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

it("names hours and minutes of a day, never longer than they are", () => {
  expect([0, 48, 59.9, 60, 153.6, 192, 16 * 0.8 * 60 * (1 / 8)].map(hoursMinutes)).toEqual([
    "0 min",
    "48 min",
    "59 min",
    "1 h",
    "2 h 33 min",
    "3 h 12 min",
    "1 h 36 min",
  ]);
});
