import { fc, test } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import { readWebVttTime, webVttTime, writeWebVtt } from "./write-webvtt.ts";

describe("timestamps, against the parsing algorithm of the W3C's WebVTT draft", () => {
  it.each([
    ["00:00.000", 0],
    ["100:00:00.000", 360_000],
    ["01:02:03.004", 3723.004],
  ])("reads %s", (text, seconds) => expect(readWebVttTime(text)).toBeCloseTo(seconds, 9));
  it.each(["0:00.000", "00:60.000", "00:00:00,000", "00:00:00.00", "00:00"])("refuses %s", (text) => {
    expect(readWebVttTime(text)).toBeNull();
  });
  test.prop([fc.nat(400_000_000)])("writes what it reads, to the millisecond", (ms) => {
    expect(readWebVttTime(webVttTime(ms / 1000))).toBeCloseTo(ms / 1000, 6);
  });
});

describe("a file of cues", () => {
  it("opens with its name and keeps cues apart by a blank line", () => {
    const text = writeWebVtt([
      { id: "answer-1", start: 0, end: 12.48, text: "Answer 1" },
      { start: 12.48, end: 41, text: "Wheels & stones <slow>" },
    ]);
    expect(text).toBe(
      "WEBVTT\n\nanswer-1\n00:00:00.000 --> 00:00:12.480\nAnswer 1\n\n00:00:12.480 --> 00:00:41.000\nWheels &amp; stones &lt;slow&gt;\n",
    );
  });
  it("never lets a text end its cue or pose as a time", () => {
    const text = writeWebVtt([{ start: 0, end: 1, text: "a\n\nb --> c" }]);
    expect(text.split("\n\n")).toHaveLength(2);
    expect(text.match(/-->/g)).toHaveLength(1);
  });
  it("refuses cues out of order", () => {
    expect(() => writeWebVtt([{ start: 2, end: 1, text: "x" }])).toThrow(TypeError);
  });
});
