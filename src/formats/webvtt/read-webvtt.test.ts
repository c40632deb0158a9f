import { fc, test } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import { readWebVtt } from "./read-webvtt.ts";
import { type Cue, writeWebVtt } from "./write-webvtt.ts";

const lines = (text: string) => readWebVtt(text)?.lines;

describe("a WebVTT file, against W3C WebVTT", () => {
  // Section 1.3 to 1.7 show such files: comments, identifiers, settings, voices, styles.
  it("gives its cues as plain lines, without notes, styles, settings and mark-up", () => {
    const text = [
      "WEBVTT - The tide mill",
      "Kind: captions",
      "",
      "STYLE",
      "::cue { color: white }",
      "",
      "NOTE the sitter's first answer --> not a time",
      "",
      "answer-1",
      "00:01.000 --> 00:04.500 align:start position:10%",
      "<v The miller>The wheel turns <i>both</i> ways,",
      "&amp; so do we &lt;slowly&gt;.",
      "",
      "01:00:00.000 --> 01:00:01.000",
      "<v.loud The keeper><c.yellow>Ebb</c> &#8211; then <00:00:05.000>flood&nbsp;again</v>",
      "",
    ].join("\r\n");
    expect(lines(text)).toEqual([
      { start: 1, end: 4.5, who: "The miller", text: "The wheel turns both ways, & so do we <slowly>." },
      { start: 3600, end: 3601, who: "The keeper", text: "Ebb – then flood again" },
    ]);
  });

  it("opens with its signature, after a mark or not", () => {
    expect(lines("\ufeffWEBVTT\n\n00:00.000 --> 00:01.000\nyes\n")).toHaveLength(1);
    expect(lines("WEBVTT")).toEqual([]);
    for (const none of [
      "",
      "WEBVTTx\n\n",
      "webvtt\n\n",
      " WEBVTT\n\n",
      "1\n00:00:00,000 --> 00:00:01,000\nno",
    ])
      expect(readWebVtt(none)).toBeNull();
  });

  // Section 6.4, "collect a WebVTT timestamp": these three are errors.
  it("leaves out and counts cues whose times are none", () => {
    const bad = [
      "0:00.000 --> 00:01.000",
      "00:60.000 --> 01:01.000",
      "00:00:00,000 --> 00:00:01,000",
      "00:02.000 --> 00:01.000",
    ];
    const text = `WEBVTT\n\n${bad.map((times) => `${times}\nwords`).join("\n\n")}\n\n00:05.000 --> 00:06.000\nlast`;
    expect(readWebVtt(text)).toEqual({ lines: [{ start: 5, end: 6, text: "last" }], leftOut: 4 });
  });

  const cue = fc.tuple(
    fc.integer({ min: 0, max: 7_000_000 }),
    fc.integer({ min: 1, max: 9000 }),
    fc.string({ minLength: 1, maxLength: 40 }),
  );
  test.prop([fc.array(cue, { maxLength: 20 })])("comes back from what was written", (list) => {
    const cues: Cue[] = list
      .map(([start, length, text]) => ({ start: start / 1000, end: (start + length) / 1000, text }))
      .filter(({ text }) => text.trim() !== "" && !text.includes("\0"))
      .sort((a, b) => a.start - b.start);
    const back = lines(writeWebVtt(cues))!;
    expect(back.map(({ text }) => text)).toEqual(cues.map(({ text }) => text.replace(/\s+/gu, " ").trim()));
    for (const [i, line] of back.entries()) {
      expect(line.start).toBeCloseTo(cues[i]!.start, 6);
      expect(line.end).toBeCloseTo(cues[i]!.end, 6);
    }
  });
});
