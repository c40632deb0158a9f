import { describe, expect, it } from "vitest";
import { readSrt } from "./read-srt.ts";
import { writeSrt } from "./write-srt.ts";

// There is no standard for SRT: these are what programs write, common practice.
describe("an SRT file", () => {
  it("gives its cues as plain lines, in order of time", () => {
    const text = [
      "2",
      "00:00:05,250 --> 00:00:07,000",
      "{\\an8}<i>The wheel</i> turns",
      '<font color="#fff">both ways.</font>',
      "",
      "1",
      "00:00:01,000 --> 00:00:04,500 X1:10 X2:20",
      "12 men < one tide",
      "",
    ].join("\r\n");
    expect(readSrt(text)).toEqual({
      lines: [
        { start: 1, end: 4.5, text: "12 men < one tide" },
        { start: 5.25, end: 7, text: "The wheel turns both ways." },
      ],
      leftOut: 0,
    });
  });

  it("is read where numbers and empty lines are missing, and a point stands for the comma", () => {
    const text =
      "0:00:01.5 --> 0:00:02.25\nfirst\n2\n00:00:03,000 --> 00:00:04,000\nsecond\n\n\nstill second\n";
    expect(readSrt(text)?.lines).toEqual([
      { start: 1.5, end: 2.25, text: "first" },
      { start: 3, end: 4, text: "second still second" },
    ]);
  });

  it("leaves out and counts cues without words or with times that cannot be", () => {
    const text =
      "1\n00:00:02,000 --> 00:00:01,000\nback\n\n2\n00:00:03,000 --> 00:00:04,000\n\n\n3\nx --> y\nno\n\n4\n00:00:05,000 --> 00:00:06,000\nlast\n";
    expect(readSrt(text)).toEqual({ lines: [{ start: 5, end: 6, text: "last" }], leftOut: 3 });
  });

  it("is none where there is no line of times", () => {
    for (const none of ["", "A letter.\n\nIt has paragraphs.", "--> nothing"])
      expect(readSrt(none)).toBeNull();
  });

  it("is written as it is read", () => {
    const cues = [
      { start: 0.04, end: 1.2, text: "Ebb,\nthen flood." },
      { start: 3600.5, end: 3601, text: "Last." },
    ];
    expect(writeSrt(cues)).toBe(
      "1\r\n00:00:00,040 --> 00:00:01,200\r\nEbb,\r\nthen flood.\r\n\r\n2\r\n01:00:00,500 --> 01:00:01,000\r\nLast.\r\n",
    );
    expect(readSrt(writeSrt(cues))?.lines.map(({ text }) => text)).toEqual(["Ebb, then flood.", "Last."]);
  });
});
