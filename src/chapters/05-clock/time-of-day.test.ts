import { describe, expect, it } from "vitest";
import { heldRecording } from "../../../test/helpers/array-media.ts";
import { secondsBetween, timeOfDay } from "./time-of-day.ts";

const ntsc = { num: 30_000, den: 1001 };
const labelled = (timecode: string, frameRate = { num: 25, den: 1 }) => {
  const { recording } = heldRecording("A", "A.mov", [new Float32Array(100)], 100);
  const picture = { ...recording.probe.picture!, frameRate };
  return timeOfDay({ ...recording, probe: { ...recording.probe, picture, timecode } });
};
const referenced = (samples: number, sampleRateHz = 48_000) =>
  timeOfDay(
    heldRecording("sound", "S.wav", [new Float32Array(100)], sampleRateHz, {
      probe: { timeReferenceSamples: samples },
    }).recording,
  );

describe("timeOfDay", () => {
  // EBU Tech 3285: TimeReference counts samples since midnight. 1 786 752 000 at 48 kHz is 10:20:24.
  it("reads a time reference of EBU Tech 3285", () =>
    expect(referenced(1_786_752_000)).toMatchObject({
      seconds: 37_224,
      label: "10:20:24.000",
      daySeconds: 86_400,
    }));

  // SMPTE ST 12-1: 107 892 frames an hour in drop-frame, 108 000 without; a day of 2 589 408.
  it("counts drop-frame and non-drop labels by the exact length of a frame", () => {
    expect(labelled("01:00:00;10", ntsc)!.seconds).toBeCloseTo(((107_892 + 10) * 1001) / 30_000, 9);
    expect(labelled("01:00:00:10", ntsc)!.seconds).toBeCloseTo(((108_000 + 10) * 1001) / 30_000, 9);
    expect(labelled("01:00:00;10", ntsc)!.daySeconds).toBeCloseTo(86_399.9136, 6);
    expect(labelled("01:00:00:10", ntsc)!.daySeconds).toBeCloseTo(86_486.4, 6);
  });

  it("takes a round hour for a counter, and a label of another rate for none", () => {
    expect(labelled("01:00:00:00")).toBeNull();
    expect(labelled("10:00:10:29")).toBeNull();
    expect(labelled("10:00:10:24")).not.toBeNull();
  });
});

describe("secondsBetween", () => {
  it("goes the shorter way round midnight, to the frame in drop-frame", () => {
    const [before, after] = [labelled("23:59:59;29", ntsc)!, labelled("00:00:00;05", ntsc)!];
    expect(secondsBetween(after, before)).toBeCloseTo((6 * 1001) / 30_000, 9);
    expect(secondsBetween(before, after)).toBeCloseTo((-6 * 1001) / 30_000, 9);
  });

  it("goes round midnight by the labels' own day without drops", () => {
    const [before, after] = [labelled("23:59:59:29", ntsc)!, labelled("00:00:00:05", ntsc)!];
    expect(secondsBetween(after, before)).toBeCloseTo((6 * 1001) / 30_000, 9);
  });

  it("goes round midnight between two time references", () =>
    expect(secondsBetween(referenced(48_000)!, referenced(86_399 * 48_000)!)).toBe(2));
});
