import { describe, expect, it } from "vitest";
import type { ClockResult } from "#documents/chapter-results";
import { heldRecording } from "../../../test/helpers/array-media.ts";
import { placeByDate } from "./device-date.ts";

const base = Date.parse("2026-05-04T09:00:00Z");
const file = (name: string, at: number, seconds: number) =>
  heldRecording("B", name, [new Float32Array(seconds * 10)], 10, {
    probe: { createdAt: new Date(base + at * 1000).toISOString() },
  }).recording;
const row = (offset: number) => ({ offset }) as ClockResult["recordings"][number];

describe("placeByDate", () => {
  it("takes the place from one placed file, and half the difference of the lengths for doubt", () => {
    const recordings = [file("B1", 0, 30), file("B2", 100, 50)];
    const placed = placeByDate(1, [0], recordings, [row(7), row(0)])!;
    expect(placed.offset).toBeCloseTo(107, 9);
    // It may be the date of closing: then it began 20 s earlier.
    expect(placed.uncertainty).toBeGreaterThan(10);
    expect(placed.uncertainty).toBeLessThan(10.1);
  });

  it("is sure to half a second where two placed files tell what the date is", () => {
    const begun = [file("B1", 0, 30), file("B2", 100, 50), file("B3", 300, 20)];
    const first = placeByDate(2, [0, 1], begun, [row(7.2), row(106.9), row(0)])!;
    expect(first.offset).toBeCloseTo(307.05, 2);
    expect(first.uncertainty).toBeGreaterThan(0.3);
    expect(first.uncertainty).toBeLessThan(0.7);
    const closed = [file("B1", 30, 30), file("B2", 150, 50), file("B3", 320, 20)];
    const second = placeByDate(2, [0, 1], closed, [row(7), row(107), row(0)])!;
    expect(second.offset).toBeCloseTo(307, 2);
    expect(second.uncertainty).toBeLessThan(0.6);
  });

  it("scatters as the device's placed files do", () => {
    const recordings = [file("B1", 0, 30), file("B2", 100, 30), file("B3", 300, 30)];
    expect(placeByDate(2, [0, 1], recordings, [row(0), row(104), row(0)])!.uncertainty).toBeGreaterThan(2);
  });

  it("refuses another day, a place that is taken, and no date", () => {
    expect(placeByDate(1, [0], [file("B1", 0, 30), file("B2", 90_000, 30)], [row(0), row(0)])).toBeNull();
    expect(placeByDate(1, [0], [file("B1", 0, 30), file("B2", 10, 30)], [row(0), row(0)])).toBeNull();
    const undated = heldRecording("B", "B2", [new Float32Array(10)], 10).recording;
    expect(placeByDate(1, [0], [file("B1", 0, 30), undated], [row(0), row(0)])).toBeNull();
  });
});
