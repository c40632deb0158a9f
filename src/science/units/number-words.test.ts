import { describe, expect, it } from "vitest";
import { countOf, durationWords, minutesSeconds, numberWords } from "./number-words.ts";

describe("numbers in sentences", () => {
  it.each([
    [0, "no"],
    [7, "seven"],
    [41, "forty-one"],
    [80, "eighty"],
    [100, "100"],
  ])("says %i as %s", (count, words) => expect(numberWords(count)).toBe(words));

  it("keeps one apart from many", () => {
    expect(countOf(1, "file")).toBe("one file");
    expect(countOf(2, "file")).toBe("two files");
  });

  it("speaks of seconds up to ninety-nine and of minutes beyond", () => {
    expect(durationWords(75)).toBe("seventy-five seconds");
    expect(durationWords(3120)).toBe("fifty-two minutes");
  });

  it("writes 41.9 s as 0:41", () => expect(minutesSeconds(41.9)).toBe("0:41"));
});
