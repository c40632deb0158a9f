import { describe, expect, it } from "vitest";
import type { ClockResult } from "#documents/chapter-results";
import { Labels } from "./labels.ts";
import type { TimeOfDay } from "./time-of-day.ts";

type Row = ClockResult["recordings"][number];
const row = (device: string, offset: number | null): Row =>
  ({
    device,
    offset,
    ratePpm: offset === null ? null : 0,
    placedBy: offset === null ? "none" : "sound",
    uncertainty: offset === null ? null : 0,
  }) as Row;
const track = (seconds: number, more: Partial<TimeOfDay> = {}): TimeOfDay => ({
  seconds,
  label: "",
  grain: 0.04,
  daySeconds: 86_400,
  speed: 1,
  source: "track",
  doubt: 0.04 / Math.sqrt(12),
  ...more,
});

describe("Labels", () => {
  it("follow the most devices, and tell the one that is wrong", () => {
    const rows = [row("A", 0), row("B", 10), row("sound", 5), row("C", null)];
    const labels = new Labels(rows, [track(3600), track(3610.02), track(3609), track(3620)], 0);
    expect(labels.place(3)!.offset).toBeCloseTo(20, 1);
    expect(labels.place(3)!.isUnanimous).toBe(false);
    expect(labels.apart().map((a) => a.index)).toEqual([2]);
    expect(labels.apart()[0]!.offset).toBeCloseTo(9, 6);
  });

  it("take the master's side where one stands against one, and doubt it by what lies between", () => {
    const rows = [row("A", 0), row("B", 10), row("C", null)];
    const placed = new Labels(rows, [track(3600), track(3613), track(3620)], 0).place(2)!;
    expect(placed.offset).toBeCloseTo(20, 9);
    expect(placed.uncertainty).toBeGreaterThanOrEqual(3);
  });

  it("follow a device's own placed file first: its clock is wrong by the same", () => {
    const rows = [row("A", 0), row("B", 10), row("B", null)];
    const placed = new Labels(rows, [track(3600), track(3613), track(3633)], 0).place(2)!;
    expect(placed.offset).toBeCloseTo(30, 9);
    expect(placed.uncertainty).toBeLessThan(0.02);
  });

  it("read a rate where timecode was heard in both", () => {
    const heard = (seconds: number, ppm: number) =>
      track(seconds, { source: "heard", speed: 1 + ppm * 1e-6, doubt: 1e-5 });
    const rows = [row("A", 0), row("C", null)];
    const placed = new Labels(rows, [heard(3600, 10), heard(3700, 50)], 0).place(1)!;
    expect(placed.ratePpm).toBeCloseTo(40, 3);
    // The label runs 10 ppm fast against A: 100 s of it are 99.999 of A's.
    expect(placed.offset).toBeCloseTo(99.999, 6);
  });

  it("place nothing without a label on both sides", () => {
    const rows = [row("A", 0), row("C", null)];
    expect(new Labels(rows, [null, track(1)], 0).place(1)).toBeNull();
    expect(new Labels(rows, [track(1), null], 0).place(1)).toBeNull();
  });
});
