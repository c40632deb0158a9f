import { describe, expect, it } from "vitest";
import { weighedByWords } from "./words-of-tries.ts";

const phrases = [
  { start: 10, end: 11, who: "sitter" },
  { start: 11.6, end: 16, who: "sitter" },
] as const;
const heard = [{ phrase: 0, likeness: 0.5, confidence: 0.6 }];
const line = (start: number, end: number, text: string) => ({ start, end, text });

describe("a false start that was heard, beside a transcript", () => {
  it("is certain where the words come again", () => {
    const lines = [line(10, 11.1, "We open the—"), line(11.5, 15.8, "So we open the gates at ebb.")];
    expect(weighedByWords(heard, phrases, lines)).toEqual([{ ...heard[0], confidence: 0.95 }]);
  });

  it("is none where other words come", () => {
    const lines = [line(10, 11.1, "[sighs] Never."), line(11.5, 15.8, "The gates open at ebb.")];
    expect(weighedByWords(heard, phrases, lines)).toEqual([]);
  });

  it("stays as it was heard where the transcript does not tell the two apart, or says nothing there", () => {
    const coarse = [line(9.5, 16, "We open the— we open the gates at ebb.")];
    expect(weighedByWords(heard, phrases, coarse)).toEqual(heard);
    expect(weighedByWords(heard, phrases, [])).toEqual(heard);
    expect(weighedByWords(heard, phrases, [line(40, 42, "Later.")])).toEqual(heard);
  });
});
