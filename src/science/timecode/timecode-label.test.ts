import { fc, test as property } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import published from "../../../test/published/timecode/ltc-and-drop-frame.json" with { type: "json" };
import { frameFromTimecode, framesPerDay, timecodeFromFrame } from "./timecode-label.ts";

const ntsc30 = { num: 30000, den: 1001 };
const ntsc60 = { num: 60000, den: 1001 };
const ntsc24 = { num: 24000, den: 1001 };
const rows = published.drop_frame_29_97.real_frames_to_label as [number, string, string][];

describe("timecode labels, against the drop-frame counts of SMPTE ST 12-1", () => {
  it("has the whole published table", () => expect(rows).toHaveLength(22));

  it.each(rows)("frame %i is %s counted with drops, and %s without", (frame, drop, plain) => {
    expect(timecodeFromFrame(frame, ntsc30, true)).toBe(drop);
    expect(frameFromTimecode(drop, ntsc30, true)).toBe(frame);
    expect(timecodeFromFrame(frame, ntsc30, false)).toBe(plain);
    expect(frameFromTimecode(plain, ntsc30, false)).toBe(frame);
  });

  it("counts the frames of a minute, ten minutes, an hour and a day as published", () => {
    const per = published.drop_frame_29_97.frames_per;
    expect(
      frameFromTimecode("00:02:00;02", ntsc30, true) - frameFromTimecode("00:01:00;02", ntsc30, true),
    ).toBe(per.minute);
    expect(frameFromTimecode("00:10:00;00", ntsc30, true)).toBe(per.ten_minutes);
    expect(frameFromTimecode("01:00:00;00", ntsc30, true)).toBe(per.hour);
    expect(framesPerDay(ntsc30, true)).toBe(per.day);
  });

  // OpenTimelineIO tests/test_opentime.py
  it("labels frame 1084319 at 59.94 as 05:01:30;03", () => {
    expect(timecodeFromFrame(1084319, ntsc60, true)).toBe("05:01:30;03");
    expect(frameFromTimecode("05:01:30;03", ntsc60, true)).toBe(1084319);
  });

  it.each([[ntsc30], [ntsc60]])("is exact through 24 hours at %o, drop-frame", (rate) => {
    const day = framesPerDay(rate, true);
    const perSecond = Math.round(rate.num / rate.den);
    // Counted as a recorder counts: one up, and past the labels that do not exist.
    const dropped = perSecond / 15;
    let [h, m, s, f] = [0, 0, 0, 0];
    const two = (n: number) => (n < 10 ? `0${n}` : `${n}`);
    let wrong = 0;
    for (let n = 0; n < day; n++) {
      // Every frame within a second of a minute, and every 7th between: making text is slow.
      if (s === 0 || s === 59 || n % 7 === 0)
        if (timecodeFromFrame(n, rate, true) !== `${two(h)}:${two(m)}:${two(s)};${two(f)}`) wrong++;
      if (++f === perSecond) [f, s] = [0, s + 1];
      if (s === 60) [s, m] = [0, m + 1];
      if (m === 60) [m, h] = [0, h + 1];
      if (f === 0 && s === 0 && m % 10 !== 0) f = dropped;
    }
    expect(wrong).toBe(0);
    expect([h, m, s, f]).toEqual([24, 0, 0, 0]);
  });

  const rates = [
    [ntsc24, false],
    [{ num: 24, den: 1 }, false],
    [{ num: 25, den: 1 }, false],
    [ntsc30, true],
    [ntsc30, false],
    [{ num: 30, den: 1 }, false],
    [{ num: 50, den: 1 }, false],
    [ntsc60, true],
    [{ num: 60, den: 1 }, false],
  ] as const;
  property.prop([fc.constantFrom(...rates), fc.integer({ min: 0, max: 2_000_000 })], { numRuns: 500 })(
    "label and frame take each other back at every rate",
    ([rate, dropFrame], frame) => {
      expect(frameFromTimecode(timecodeFromFrame(frame, rate, dropFrame), rate, dropFrame)).toBe(frame);
    },
  );

  it("wraps at midnight, both ways", () => {
    expect(timecodeFromFrame(2_589_408, ntsc30, true)).toBe("00:00:00;00");
    expect(timecodeFromFrame(-1, ntsc30, true)).toBe("23:59:59;29");
  });

  it.each([
    ["00:01:00;00", ntsc30, true, "00:01:00;02"],
    ["00:09:00;03", ntsc60, true, "00:09:00;04"],
    // OpenTimelineIO tests/test_opentime.py: refused at 24
    ["01:00:13:24", { num: 24, den: 1 }, false, "01:00:13:23"],
    ["24:00:00:00", { num: 25, den: 1 }, false, "23:00:00:00"],
    ["1:2:3", { num: 25, den: 1 }, false, "00:00:00:00"],
  ] as const)("refuses %s and offers a label that exists", (label, rate, dropFrame, nearest) => {
    expect(() => frameFromTimecode(label, rate, dropFrame)).toThrow(
      expect.objectContaining({ code: "TIMECODE_NOT_A_FRAME", facts: { label, nearest } }),
    );
    expect(() => frameFromTimecode(nearest, rate, dropFrame)).not.toThrow();
  });

  // OpenTimelineIO tests/test_opentime.py: drop frame at 23.976, 24 and 25 must be refused
  it.each([ntsc24, { num: 24, den: 1 }, { num: 25, den: 1 }])("refuses drop-frame at %o", (rate) => {
    expect(() => timecodeFromFrame(0, rate, true)).toThrow(
      expect.objectContaining({ code: "TIMECODE_RATE_UNSUPPORTED" }),
    );
  });

  it("refuses a rate that has no timecode, in three sentences", () => {
    expect(() => frameFromTimecode("00:00:00:00", { num: 12, den: 1 }, false)).toThrow(
      "No timecode is defined for 12 frames a second.",
    );
  });
});
