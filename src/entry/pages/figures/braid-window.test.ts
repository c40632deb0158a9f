import { describe, expect, it } from "vitest";
import { sitting } from "../fixture/sitting.ts";
import { partOfCut, shotsAtOnce } from "./braid-window.ts";

describe("the part of a long cut that is shown at once", () => {
  it("is all of a short cut", () => {
    expect(shotsAtOnce(8, 380)).toBe(8);
    expect(shotsAtOnce(320, 380)).toBe(11);
  });

  it("has its own shots, and only the creases between them", () => {
    const story = sitting().chapters.find((c) => c.name === "story")!.result;
    if (!story || !("speech" in story)) throw new Error("the fixture has a story");
    expect(partOfCut(story, 0, 8)).toBe(story);
    const part = partOfCut(story, 2, 4);
    expect(part.events).toEqual(story.events.slice(2, 6));
    expect(part.dropped.map((d) => d.start)).toEqual([37.2, 41.8, 43]);
  });
});
