import { describe, expect, it } from "vitest";
import type { SittingPage } from "#documents/page";
import { sitting } from "../fixture/sitting.ts";
import { fileAddress, fileName } from "./addresses.ts";
import { splitAtCameras } from "./camera-letters.ts";
import { eventAt, sittingToProgram } from "./cut-time.ts";
import { bytes, counted, figuresWith, number, readNumber, significant } from "./numbers.ts";
import { sittingVerdict } from "./sitting-verdict.ts";
import { clockTime, length, smallTime, spokenLength } from "./times.ts";

describe("numbers in the reader's locale", () => {
  it("have a true minus, and a rounded zero has none", () => {
    expect(number(-18.1, 1)).toMatch(/^−18[.,]1$/);
    expect(number(-0.04, 1)).not.toContain("−");
  });

  it("have a thin space between their thousands from 10 000 on, and none below or among the decimals", () => {
    expect(number(9999)).toBe("9999");
    expect(number(10_000)).toBe("10\u202f000");
    expect(number(9999.6)).toBe("10\u202f000");
    expect(number(-1_234_567.5, 1)).toMatch(/^−1\u202f234\u202f567[.,]5$/);
    expect(number(0.123456, 6)).toMatch(/^0[.,]123456$/);
    expect(number(9999.123456, 6)).toMatch(/^9999[.,]123456$/);
    expect(number(12_345.123456, 6)).toMatch(/^12\u202f345[.,]123456$/);
  });

  it("are read as they are written, and with a point", () => {
    for (const value of [-18.1, 0.2, 123.5, 60, 48_000, -1_234_567.5])
      expect(readNumber(number(value, 1))).toBe(value);
    expect(readNumber("-18.5")).toBe(-18.5);
    expect(readNumber(" 1,2 ")).toBe(1.2);
    for (const none of ["", "a", "1.2.3", "-"]) expect(readNumber(none)).toBeNull();
  });

  it("have the reader's decimal mark in the program's sentences too, and names are left as they are", () => {
    expect(figuresWith(",", "Sky is worst, at 1.7; the cut runs 0:41.5 at −18.0 LUFS.")).toBe(
      "Sky is worst, at 1,7; the cut runs 0:41,5 at −18,0 LUFS.",
    );
    for (const name of ["A001.2.mov", "clip-3.4.mp4", "release 0.15.2", "measured/1.5/x", "take.1"])
      expect(figuresWith(",", name)).toBe(name);
    expect(figuresWith(".", "at 1.7")).toBe("at 1.7");
  });

  it("keep as few decimals as the figures need", () => {
    expect(significant(0.0912)).toBe(number(0.091, 3));
    expect(significant(38.4)).toBe(number(38));
  });

  it("count in words up to twelve", () => {
    expect(counted(1, "thing")).toBe("one thing");
    expect(counted(12, "thing")).toBe("twelve things");
    expect(counted(13, "thing")).toBe("13 things");
  });

  it("give bytes by powers of a thousand", () => {
    expect(bytes(912_000_000)).toMatch(/912.MB/);
    expect(bytes(1_900)).toMatch(/1[.,]9.kB/);
  });
});

describe("times", () => {
  it("are cut to the second as a clock shows it; a rounded tenth carries over into the minute", () => {
    expect(clockTime(59.6)).toBe("0:59");
    expect(clockTime(59.9999999)).toBe("1:00");
    expect(clockTime(59.96, true)).toMatch(/^1:00[.,]0$/);
    expect(clockTime(3723)).toBe("1:02:03");
    expect(clockTime(-0.2)).toBe("0:00");
    expect(clockTime(6.78, true)).toMatch(/^0:06[.,]8$/);
  });

  it("as lengths stay short", () => {
    expect(length(12)).toBe("12 s");
    expect(length(74)).toBe("1 min 14 s");
    expect(length(3900)).toBe("1 h 5 min");
    expect(spokenLength(1)).toBe("1 second");
    expect(spokenLength(660)).toBe("11 minutes");
  });

  it("take the unit that fits", () => {
    expect(smallTime(0.034)).toBe("34 ms");
    expect(smallTime(0.00011)).toMatch(/^0[.,]11 ms$/);
  });
});

describe("camera letters in a sentence", () => {
  const found = (text: string) =>
    splitAtCameras(text)
      .filter((p) => p.camera)
      .map((p) => p.camera)
      .join("");
  it.each([
    ["Camera B began 34 ms late.", "B"],
    ["Story stays on A across the gap.", "A"],
    ["A brief pause was folded.", ""],
    ["Camera B’s second file cannot be read.", "B"],
    ["A and B agree.", "AB"],
    ["A A001_C002.mov and B0014.mp4", ""],
    ["the BBC, vitamin B12, plan-B", ""],
    ["B lost focus. A held.", "BA"],
  ])("are found in “%s”", (text, letters) => {
    expect(found(text)).toBe(letters);
    expect(
      splitAtCameras(text)
        .map((p) => p.text)
        .join(""),
    ).toBe(text);
  });
});

describe("places in the cut", () => {
  const story = sitting().chapters.find((c) => c.name === "story")!.result as Extract<
    SittingPage["chapters"][number]["result"],
    { events: unknown }
  >;
  it("go from sitting time to program time, and are none where the cut left that moment out", () => {
    expect(sittingToProgram(story.events, 20)).toBeCloseTo(7, 9);
    expect(sittingToProgram(story.events, 45)).toBeNull();
  });
  it("belong to the later shot at the very change", () => {
    expect(eventAt(story.events, story.events[1]!.start)).toBe(1);
    expect(eventAt(story.events, 1e6)).toBe(-1);
  });
});

describe("addresses of files", () => {
  it("keep folders and escape each name", () => {
    expect(fileAddress("handover/first cut #1.mp4")).toBe("files/handover/first%20cut%20%231.mp4");
    expect(fileName("a/b\\c.mov")).toBe("c.mov");
  });
});

describe("the sentence that opens the sitting", () => {
  it("says what has become of the recordings and what will be seen", () => {
    expect(sittingVerdict(sitting())).toBe(
      "Three recordings of two cameras have become a first cut of 50 seconds. Two things are worth a look.",
    );
  });
  it("says what is missing, what is at work and what failed", () => {
    expect(sittingVerdict(sitting("empty"))).toMatch(/^The sitting is planned and not filmed yet\./);
    const {
      said: { plan: _, ...said },
      ...page
    } = sitting("empty");
    expect(sittingVerdict({ ...page, said })).toBe(
      "No recordings yet. Bring them in here, or copy the cards in Cards.",
    );
    expect(sittingVerdict(sitting("working"))).toBe(
      "Three of seven chapters are settled, and Voice is at work: listening to camera A, channel 2.",
    );
    expect(sittingVerdict(sitting("failed"))).toMatch(/^Colour could not be finished\. Camera B/);
  });
});
