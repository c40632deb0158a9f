import { describe, expect, it } from "vitest";
import type { StoryResult, WatchResult } from "#documents/chapter-results";
import type { PictureSaid } from "#documents/said";
import { withJudgedPictures } from "./judged-pictures.ts";

const range = (start: number, end: number) => ({
  start,
  end,
  kind: "soft" as const,
  severity: 0.8,
  evidence: "Sharpness fell.",
});
const watch = (ranges: object[], overruled: object[] = []) =>
  ({ recordings: [{ hash: "b", ranges, overruled }], findings: [] }) as unknown as WatchResult;
/** Recording b began 30 s after the sitting did. */
const story = {
  material: {
    sources: [
      { hash: "b", camera: "B", from: 30, to: 130, bad: [], placement: { offset: 30, ratePpm: 0 } },
      { hash: "c", camera: "C", from: 0, to: 9, bad: [range(1, 2)], placement: { offset: 0, ratePpm: 0 } },
    ],
  },
} as unknown as StoryResult;
const badOf = (seen: WatchResult | null, said: readonly PictureSaid[] = []) =>
  withJudgedPictures(story, seen, said).material!.sources.map(({ bad }) =>
    bad.map(({ start, end, kind }) => [start, end, kind]),
  );
const [fine, avoid]: PictureSaid[] = [
  { hash: "b", from: 12, to: 14, says: "fine" },
  { hash: "b", from: 50, to: 52, says: "avoid" },
];

// A tenth of a second beside each range is left out too: what was looked at has gaps.
describe("Story's pictures as they are judged now", () => {
  it("are what Watch found, on the sitting's clock, where nothing was said", () => {
    expect(badOf(watch([range(10, 17)]))[0]).toEqual([[39.9, 47.1, "soft"]]);
  });

  it("follow a word before anything is measured again", () => {
    expect(badOf(watch([range(10, 17)]), [fine!, avoid!])[0]).toEqual([
      [39.9, 42.1, "soft"],
      [43.9, 47.1, "soft"],
      [79.9, 82.1, "unwanted"],
    ]);
  });

  it("are whole again when the word is taken back, though Watch measured with it", () => {
    const heeded = watch(
      [range(10, 12), range(14, 17), { ...range(50, 52), kind: "unwanted", said: true }],
      [range(12, 14)],
    );
    expect(badOf(heeded, [])[0]).toEqual([[39.9, 47.1, "soft"]]);
  });

  it("stay as they are for a recording that Watch does not know, and without Watch", () => {
    expect(badOf(watch([range(10, 17)]))[1]).toEqual([[1, 2, "soft"]]);
    expect(badOf(null, [fine!])[0]).toEqual([]);
  });
});
