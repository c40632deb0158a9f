import { readFileSync } from "node:fs";
import { fc, test } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import { readEdl } from "./read-edl.ts";
import { plainAscii, reelName, writeEdl } from "./write-edl.ts";

const published = (name: string): string =>
  readFileSync(new URL(`../../../test/published/edl/${name}`, import.meta.url), "utf8");
const at25 = { num: 25, den: 1 };
const at24 = { num: 24, den: 1 };
const lengths = (text: string, rate: { num: number; den: number }): number[] =>
  readEdl(text, rate).events.map(({ recordIn, recordOut }) => recordOut - recordIn);

describe("edit decision lists, against the samples of OpenTimelineIO's CMX 3600 adapter", () => {
  // Published with the sample: events of 161, 200, 86, 49 frames; last record out 00:00:19:21 = 496 frames.
  it("reads 25fps.edl", () => {
    expect(lengths(published("25fps.edl"), at25)).toEqual([161, 200, 86, 49]);
    expect(readEdl(published("25fps.edl"), at25).events.at(-1)!.recordOut).toBe(496);
    expect(readEdl(published("25fps.edl"), at25).events[0]!.clipName).toBe("sq001_s001");
  });
  // Published with the sample: 9 + 10 (dissolve 10) + 1 frames, record end 01:00:00:20 at 24.
  it("reads dissolve_test.edl", () => {
    const { events } = readEdl(published("dissolve_test.edl"), at24);
    expect(events.map((e) => e.recordOut - e.recordIn)).toEqual([9, 0, 10, 1]);
    expect(events[2]).toMatchObject({ type: "D", transitionFrames: 10, number: 2 });
    expect(events.at(-1)!.recordOut).toBe(24 * 3600 + 20);
  });
  // The sample with a gap keeps record times that do not touch.
  it("reads gap_test.edl, comments without a star included", () => {
    const { events } = readEdl(published("gap_test.edl"), at24);
    expect(events.map(({ recordIn, recordOut }) => [recordIn, recordOut])).toEqual([
      [0, 24],
      [40, 64],
      [102, 126],
    ]);
    expect(events[1]!.clipName).toBe("shot2");
  });
  it.each(["cdl.edl", "dissolve_test_2.edl", "transition_duration.edl", "wipe_test.edl"])(
    "reads %s",
    (name) => {
      expect(readEdl(published(name), at24).events.length).toBeGreaterThan(1);
    },
  );
  it("keeps the fixed columns of the two-camera sample", () => {
    const ours = writeEdl({
      title: "TWO CAMERA INTERVIEW",
      rate: at25,
      dropFrame: false,
      cuts: [
        {
          reel: "A001",
          channel: "V",
          sourceIn: 900_100,
          recordIn: 90_000,
          frames: 250,
          clipName: "A001C001",
        },
      ],
    });
    const sample = published("two_camera_made_here.edl").split("\n");
    expect(ours.split("\n")[2]).toBe(sample[3]!.replace(/^002/, "001"));
    expect(ours.split("\n")[3]).toBe(sample[4]);
  });
});

const rates = [
  { rate: at25, dropFrame: false },
  { rate: { num: 24000, den: 1001 }, dropFrame: false },
  { rate: { num: 30000, den: 1001 }, dropFrame: true },
  { rate: { num: 30000, den: 1001 }, dropFrame: false },
  { rate: { num: 50, den: 1 }, dropFrame: false },
];
describe("what is written", () => {
  test.prop([
    fc.constantFrom(...rates),
    fc.array(fc.record({ sourceIn: fc.nat(1_000_000), frames: fc.integer({ min: 1, max: 5000 }) }), {
      minLength: 1,
      maxLength: 30,
    }),
  ])("reads back frame for frame", ({ rate, dropFrame }, parts) => {
    let recordIn = 90_000;
    const cuts = parts.map(({ sourceIn, frames }) => {
      const cut = { reel: "B002", channel: "V" as const, sourceIn, recordIn, frames, clipName: "mill" };
      recordIn += frames;
      return cut;
    });
    const { events } = readEdl(writeEdl({ title: "x", rate, dropFrame, cuts }), rate);
    expect(events.map((e) => [e.sourceIn, e.recordIn, e.recordOut])).toEqual(
      cuts.map((c) => [c.sourceIn, c.recordIn, c.recordIn + c.frames]),
    );
  });

  it("keeps a source's own way of counting beside the program's", () => {
    const ntsc = { num: 30000, den: 1001 };
    const cuts = [
      { reel: "A001", channel: "V" as const, sourceIn: 1800, recordIn: 0, frames: 10, sourceDropFrame: true },
    ];
    const text = writeEdl({ title: "x", rate: ntsc, dropFrame: false, cuts });
    expect(text).toContain("00:01:00;02");
    expect(readEdl(text, ntsc).events[0]!.sourceIn).toBe(1800);
  });

  it("is plain ASCII", () => {
    expect(plainAscii("Mühle – Straße")).toBe("Muhle _ Stra_e");
  });
  it.each([
    ["A", 1, "A001"],
    ["sound2", 12, "SOUND012"],
    ["münze & co", 3, "MUNZE003"],
    ["?", 1, "R001"],
  ])("names the reel of %s, file %i, %s", (device, count, name) =>
    expect(reelName(device, count)).toBe(name),
  );
  it("refuses a reel name that would not fit", () => {
    const cuts = [{ reel: "TOO LONG A NAME", channel: "V" as const, sourceIn: 0, recordIn: 0, frames: 1 }];
    expect(() => writeEdl({ title: "x", rate: at25, dropFrame: false, cuts })).toThrow(TypeError);
  });
});

describe("what is refused", () => {
  it.each([
    ["a line with a field missing", "001 A001 V C 00:00:00:00 00:00:01:00 00:00:00:00"],
    ["a cut of two lengths", "001 A001 V C 00:00:00:00 00:00:01:00 00:00:00:00 00:00:02:00"],
  ])("%s", (_, line) => {
    expect(() => readEdl(`TITLE: x\n${line}\n`, at25)).toThrow(
      expect.objectContaining({ code: "DOCUMENT_INVALID" }),
    );
  });
});
