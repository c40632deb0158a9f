import { describe, expect, it } from "vitest";
import type { HandoverResult, StoryResult } from "#documents/chapter-results";
import { holdsCut } from "./played.ts";

const event = (hash: string, start: number, end: number, sourceStart: number, scale?: number) =>
  ({ hash, start, end, sourceStart, ...(scale ? { scale } : {}) }) as StoryResult["events"][number];
const story = (...events: StoryResult["events"]) => ({ events }) as unknown as StoryResult;
const cut = (shots: NonNullable<NonNullable<HandoverResult["firstCut"]>["shots"]>) =>
  ({ shots }) as unknown as HandoverResult["firstCut"];

describe("the rendered first cut", () => {
  const shots = [
    { hash: "a", sourceStart: 3, seconds: 8 },
    { hash: "b", sourceStart: 11.5, seconds: 4, scale: 1.2 },
  ];
  const events = [event("a", 0, 8, 3), event("b", 8, 12, 11.5, 1.2)];

  it("is the cut as it stands where every shot is the same", () => {
    expect(holdsCut(cut(shots), story(...events))).toBe(true);
  });

  it("is another where a shot was changed, is longer, larger, more or gone, or where nothing is known", () => {
    const others = [
      [event("b", 0, 8, 3), events[1]!],
      [event("a", 0, 8.04, 3), events[1]!],
      [event("a", 0, 8, 3.04), events[1]!],
      [events[0]!, event("b", 8, 12, 11.5)],
      [events[0]!],
    ];
    for (const other of others) expect(holdsCut(cut(shots), story(...other))).toBe(false);
    expect(holdsCut(null, story(...events))).toBe(false);
    expect(holdsCut(cut(shots), null)).toBe(false);
  });
});
