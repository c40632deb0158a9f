import { fc, test } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import { applyChange, changesConflict, saidOf, withSaid } from "./apply-change.ts";
import { describeChange } from "./describe-change.ts";
import { type Change, changeSchema, type Said } from "./said.ts";
import { defaultDecisions, type Sitting } from "./sitting.ts";

const nothing: Said = {
  title: "The tide-mill loft",
  story: { angles: [], kept: [], folded: [] },
  charts: [],
  sources: [],
  pictures: [],
  marks: [],
  transcripts: [],
  microphoneDistances: {},
  keepQuestions: false,
  longestPause: 1.2,
  loudnessTarget: -18,
};
const said = (...changes: Change[]): Said => changes.reduce(applyChange, nothing);
const square: [number, number][] = [
  [0, 0],
  [6, 0],
  [6, 4],
  [0, 4],
];

describe("what is said after a change", () => {
  it("lets a later angle win over the part that it covers", () => {
    const { story } = said(
      { kind: "angle", from: 10, to: 30, camera: "B" },
      { kind: "angle", from: 15, to: 20, camera: "A" },
    );
    expect(story.angles).toEqual([
      { from: 10, to: 15, camera: "B" },
      { from: 15, to: 20, camera: "A" },
      { from: 20, to: 30, camera: "B" },
    ]);
  });

  it("forgets an angle where none is named", () => {
    const { story } = said(
      { kind: "angle", from: 10, to: 30, camera: "B" },
      { kind: "angle", from: 20, to: 40, camera: null },
    );
    expect(story.angles).toEqual([{ from: 10, to: 20, camera: "B" }]);
  });

  it("never says of one moment that it is both kept and folded", () => {
    const { story } = said(
      { kind: "fold", from: 0, to: 10 },
      { kind: "keep", from: 4, to: 6 },
      { kind: "keep", from: 6, to: 7 },
      { kind: "unsay", from: 9, to: 20 },
    );
    expect(story.kept).toEqual([{ from: 4, to: 7 }]);
    expect(story.folded).toEqual([
      { from: 0, to: 4 },
      { from: 7, to: 9 },
    ]);
  });

  it("says one chart a recording, and takes it back", () => {
    const first: Change = { kind: "chart", hash: "xxh128:a", at: 3, corners: square };
    const twice = said(first, { ...first, at: 5 });
    expect(twice.charts).toEqual([{ hash: "xxh128:a", at: 5, corners: square }]);
    expect(applyChange(twice, { ...first, corners: null }).charts).toEqual([]);
  });

  it("says one microphone for a moment of the voice, and leaves it to Voice again", () => {
    const { sources } = said(
      { kind: "source", from: 10, to: 30, source: "boom" },
      { kind: "source", from: 20, to: 40, source: "both" },
      { kind: "source", from: 12, to: 14, source: null },
    );
    expect(sources).toEqual([
      { from: 10, to: 12, source: "boom" },
      { from: 14, to: 20, source: "boom" },
      { from: 20, to: 40, source: "both" },
    ]);
  });

  it("judges the picture of one recording without touching another's", () => {
    const { pictures } = said(
      { kind: "picture", hash: "xxh128:b", from: 0, to: 9, says: "fine" },
      { kind: "picture", hash: "xxh128:a", from: 4, to: 6, says: "avoid" },
      { kind: "picture", hash: "xxh128:b", from: 4, to: 6, says: null },
    );
    expect(pictures).toEqual([
      { hash: "xxh128:a", from: 4, to: 6, says: "avoid" },
      { hash: "xxh128:b", from: 0, to: 4, says: "fine" },
      { hash: "xxh128:b", from: 6, to: 9, says: "fine" },
    ]);
  });

  it("marks a moment once, and keeps a transcript by its file", () => {
    const file = "transcripts/0123456789abcdef.vtt";
    const { marks, transcripts } = said(
      { kind: "mark", at: 30, words: "the hand on the wheel" },
      { kind: "mark", at: 12.5, words: "laughs" },
      { kind: "mark", at: 30, words: "the wheel, once more" },
      { kind: "mark", at: 12.5, words: null },
      { kind: "transcript", file, as: { name: "a001.vtt", recording: "xxh128:a" } },
      { kind: "transcript", file, as: { name: "a001.vtt", recording: null } },
    );
    expect(marks).toEqual([{ at: 30, words: "the wheel, once more" }]);
    expect(transcripts).toEqual([{ file, name: "a001.vtt", recording: null }]);
    expect(said({ kind: "transcript", file, as: null }).transcripts).toEqual([]);
  });

  it("keeps a microphone's distance by device, and forgets it", () => {
    const far: Change = { kind: "microphoneDistance", device: "B", metres: 2.4 };
    expect(said(far).microphoneDistances).toEqual({ B: 2.4 });
    expect(said(far, { ...far, metres: null }).microphoneDistances).toEqual({});
  });

  it("goes into the sitting and comes out again, and leaves all else in it as it was", () => {
    const sitting = {
      kind: "gemel.sitting",
      version: 1,
      title: nothing.title,
      createdAt: "2026-11-06T09:00:00Z",
      cards: [{ device: "A", kind: "camera", paths: ["/cards/A"] }],
      places: ["originals"],
      roles: [],
      decisions: defaultDecisions,
      weather: "fog",
    } as Sitting;
    expect(withSaid(sitting, saidOf(sitting))).toEqual(sitting);
    const changed = said(
      { kind: "angle", from: 1, to: 2, camera: "B" },
      { kind: "source", from: 3, to: 4, source: "boom" },
      { kind: "picture", hash: "xxh128:b", from: 5, to: 6, says: "fine" },
      { kind: "microphoneDistance", device: "B", metres: 2.4 },
      { kind: "mark", at: 3, words: "laughs" },
      {
        kind: "transcript",
        file: "transcripts/0123456789abcdef.srt",
        as: { name: "b.srt", recording: null },
      },
      { kind: "loudness", loudnessTarget: -16 },
    );
    expect(saidOf(withSaid(sitting, changed))).toEqual(changed);
    expect(withSaid(sitting, changed)).toMatchObject({ weather: "fog", decisions: { truePeakCeiling: -1 } });
  });
});

const stretches = fc
  .tuple(fc.integer({ min: 0, max: 60 }), fc.integer({ min: 1, max: 20 }))
  .map(([from, length]) => ({ from, to: from + length }));
const cutChange: fc.Arbitrary<Change> = fc.oneof(
  fc
    .tuple(stretches, fc.constantFrom("A", "B", null))
    .map(([range, camera]): Change => ({ kind: "angle", ...range, camera })),
  fc
    .tuple(stretches, fc.constantFrom("keep" as const, "fold" as const, "unsay" as const))
    .map(([range, kind]): Change => ({ kind, ...range })),
);
/** What is said of each whole second, worked out the slow and plain way. */
function plainly(changes: readonly Change[]): string[] {
  const angle = Array.from({ length: 90 }, () => "-");
  const length = Array.from({ length: 90 }, () => "-");
  for (const change of changes) {
    if (!("from" in change)) continue;
    for (let t = change.from; t < change.to; t++) {
      if (change.kind === "angle") angle[t] = change.camera ?? "-";
      else length[t] = change.kind === "unsay" ? "-" : change.kind;
    }
  }
  return angle.map((a, t) => a + length[t]);
}

test.prop([fc.array(cutChange, { maxLength: 25 })], { numRuns: 60 })(
  "the newest word on each moment counts, whatever came before",
  (changes) => {
    const { story } = said(...changes);
    const found = Array.from({ length: 90 }, (_, t) => {
      const holds = ({ from, to }: { from: number; to: number }): boolean => from <= t && t < to;
      const length = story.kept.some(holds) ? "keep" : story.folded.some(holds) ? "fold" : "-";
      return (story.angles.find(holds)?.camera ?? "-") + length;
    });
    expect(found).toEqual(plainly(changes));
    for (const list of [story.angles, story.kept, story.folded])
      list.slice(1).forEach((one, i) => {
        expect(one.from).toBeGreaterThanOrEqual(list[i]!.to);
      });
  },
);

const anyChange: fc.Arbitrary<Change> = fc.oneof(
  cutChange,
  fc
    .tuple(stretches, fc.constantFrom("lav" as const, "boom" as const, "both" as const, null))
    .map(([range, source]): Change => ({ kind: "source", ...range, source })),
  fc
    .tuple(
      stretches,
      fc.constantFrom("xxh128:a", "xxh128:b"),
      fc.constantFrom("fine" as const, "avoid" as const, null),
    )
    .map(([range, hash, says]): Change => ({ kind: "picture", hash, ...range, says })),
  fc
    .tuple(fc.constantFrom("A", "B"), fc.constantFrom(null, 0.3, 2.4))
    .map(([device, metres]): Change => ({ kind: "microphoneDistance", device, metres })),
  fc
    .tuple(fc.integer({ min: 0, max: 5 }), fc.constantFrom("laughs", "the wheel", null))
    .map(([at, words]): Change => ({ kind: "mark", at, words })),
  fc.tuple(fc.constantFrom("a", "b"), fc.constantFrom("xxh128:a", null)).map(
    ([letter, recording]): Change => ({
      kind: "transcript",
      file: `transcripts/${letter.repeat(16)}.vtt`,
      as: recording ? { name: "talk.vtt", recording } : null,
    }),
  ),
);

test.prop([anyChange, anyChange], { numRuns: 120 })(
  "two changes that do not conflict give the same in either order",
  (a, b) => {
    fc.pre(!changesConflict(a, b));
    expect(said(a, b)).toEqual(said(b, a));
  },
);

describe("a change", () => {
  it.each<[Change, string]>([
    [{ kind: "angle", from: 62, to: 70, camera: "B" }, "camera B from 1:02 to 1:10"],
    [{ kind: "fold", from: 62, to: 70 }, "folding away from 1:02 to 1:10"],
    [{ kind: "source", from: 62, to: 70, source: "boom" }, "the voice from the boom from 1:02 to 1:10"],
    [
      { kind: "picture", hash: "xxh128:b", from: 62, to: 70, says: "fine" },
      "the picture as fine from 1:02 to 1:10",
    ],
    [{ kind: "microphoneDistance", device: "B", metres: 2.4 }, "2.4 m for the microphone of camera B"],
    [{ kind: "loudness", loudnessTarget: -16 }, "a loudness of −16 LUFS"],
  ])("is named as a person would name it", (change, words) => {
    expect(describeChange(change)).toBe(words);
  });

  it("is refused where its stretch ends before it begins", () => {
    expect(changeSchema.safeParse({ kind: "keep", from: 5, to: 5 }).success).toBe(false);
    expect(changeSchema.safeParse({ kind: "keep", from: 5, to: 6 }).success).toBe(true);
  });
});
