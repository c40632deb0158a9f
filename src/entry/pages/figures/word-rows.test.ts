import { describe, expect, it } from "vitest";
import type { StoryResult } from "#documents/chapter-results";
import { layOutBraid } from "./braid-layout.ts";
import { wordRows } from "./word-rows.ts";

const event = (start: number, end: number, sittingStart: number) =>
  ({
    start,
    end,
    sittingStart,
    sittingEnd: sittingStart + end - start,
    camera: "A",
  }) as StoryResult["events"][number];
const events = [event(0, 10, 12), event(10, 20, 30)];
const sizes = { cut: 12, crease: 20, line: 6, part: 26 };
const layout = layOutBraid(events, [], 10, sizes, new Set());
const line = (start: number, end: number, text: string, who?: string) => ({
  start,
  end,
  text,
  ...(who ? { who } : {}),
});

describe("words beside the braid", () => {
  it("stand at their moment of the cut, below what the shot says of itself", () => {
    const rows = wordRows(
      [line(12, 14, "Ebb."), line(17, 19, "Flood.", "The miller")],
      [],
      events,
      layout,
      21,
      20,
    );
    expect(rows.map(({ y, text, at }) => [y, text, at])).toEqual([
      [20, "Ebb.", 0],
      [50, "The miller: Flood.", 5],
    ]);
    expect(rows[0]!.height).toBe(30);
  });

  it("become one row where they are nearer than a row is high; a mark keeps its own", () => {
    const lines = [line(14, 15, "One,"), line(15, 16, "two,"), line(15.9, 16.4, "three.")];
    const rows = wordRows(lines, [{ at: 15.5, words: "counts on her fingers" }], events, layout, 21, 0);
    expect(rows.map(({ kind, text }) => [kind, text])).toEqual([
      ["line", "One, two,"],
      ["mark", "counts on her fingers"],
      ["line", "three."],
    ]);
    for (let i = 1; i < rows.length; i++) expect(rows[i]!.y - rows[i - 1]!.y).toBeGreaterThanOrEqual(21);
  });

  it("are told once, with the longer part, where a cut goes through them, and not where they were left out", () => {
    const lines = [
      line(3, 5, "Slate."),
      line(21, 31, "Across."),
      line(24, 26, "Left out."),
      line(29, 34, "Begins before."),
    ];
    const rows = wordRows(lines, [{ at: 25, words: "left out" }], events, layout, 21, 0);
    expect(rows.map(({ text, at }) => [text, at])).toEqual([["Begins before.", 10]]);
  });
});
