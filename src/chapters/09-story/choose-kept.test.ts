import { fc, test } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import type { TalkerStretch } from "#science/speech/two-talkers";
import { chooseKept } from "./choose-kept.ts";
import type { StoryMaterial } from "./story-material.ts";

const sitter = (start: number, end: number): TalkerStretch => ({ start, end, who: "sitter" });
const interviewer = (start: number, end: number): TalkerStretch => ({ start, end, who: "interviewer" });
/** Quiet everywhere but in the phrases. */
function material(phrases: TalkerStretch[], more: Partial<StoryMaterial> = {}): StoryMaterial {
  const to = (phrases.at(-1)?.end ?? 0) + 5;
  const db = Float32Array.from({ length: Math.round(to * 100) }, (_, i) =>
    phrases.some(({ start, end }) => i / 100 >= start && i / 100 < end) ? -20 : -60,
  );
  return {
    from: 0,
    to,
    phrases,
    falseStarts: [],
    claps: [],
    level: { stepSeconds: 0.01, db },
    twoTalkers: phrases.some(({ who }) => who === "interviewer"),
    separationDb: 20,
    ...more,
  };
}
const decisions = { keepQuestions: false, longestPause: 1.2 };

describe("what stays in the cut", () => {
  it("drops the slate, the question and the long pause, and keeps natural silence around each word", () => {
    const heard = material([interviewer(5, 8), sitter(9, 14), sitter(14.4, 18), sitter(22, 27)], {
      claps: [2],
    });
    const { kept, dropped } = chooseKept(heard, decisions);
    expect(kept).toHaveLength(2);
    expect(kept[0]!.start).toBeCloseTo(8.85, 1);
    expect(kept[0]!.end).toBeCloseTo(18.25, 1);
    expect(kept[1]!.start).toBeCloseTo(21.85, 1);
    expect(kept[0]!.breaks).toEqual([{ at: 14.2, seconds: expect.closeTo(0.4, 5) }]);
    expect(dropped.map(({ why }) => why)).toEqual([
      "before the first answer: slate, clap and the first question",
      "a pause of 4.0 s",
      "after the last answer",
    ]);
  });

  it("marks where an answer begins after a question", () => {
    const { kept } = chooseKept(
      material([interviewer(1, 3), sitter(4, 9), interviewer(10, 12), sitter(13, 20)]),
      decisions,
    );
    expect(kept.map(({ opensAnswer }) => opensAnswer)).toEqual([true, true]);
    expect(kept[1]!.joinWhy).toBe("a question");
  });

  it("keeps the questions when that is decided", () => {
    const phrases = [interviewer(1, 3), sitter(3.6, 9), interviewer(9.5, 12), sitter(12.6, 20)];
    const { kept } = chooseKept(material(phrases), { ...decisions, keepQuestions: true });
    expect(kept).toHaveLength(1);
    expect(kept[0]!.start).toBeLessThan(1);
  });

  it("leaves out a false start with the break after it, and little silence", () => {
    const heard = material([sitter(1, 6), sitter(6.5, 7.4), sitter(8, 14)], {
      falseStarts: [{ phrase: 1, likeness: 0.6, confidence: 0.9 }],
    });
    const { kept, dropped } = chooseKept(heard, decisions);
    expect(kept).toHaveLength(2);
    expect(kept[0]!.end).toBeLessThanOrEqual(6.5);
    expect(kept[1]!.start).toBeGreaterThan(7.4);
    expect(dropped[1]!.why).toBe("a false start");
  });

  it("does not drop an answer that comes before the first question", () => {
    const { kept } = chooseKept(material([sitter(1, 30), interviewer(31, 33), sitter(34, 40)]), decisions);
    expect(kept[0]!.start).toBeLessThan(1.01);
  });

  it("does not take an answer for chat because its question was not heard", () => {
    const heard = material([sitter(12, 23), interviewer(24, 26), sitter(27, 40)], { claps: [9] });
    expect(chooseKept(heard, decisions).kept[0]!.start).toBeLessThan(12.01);
  });

  it("drops what is said before the clap", () => {
    const heard = material([sitter(1, 4), sitter(12, 23), interviewer(24, 26), sitter(27, 40)], {
      claps: [9],
    });
    const { kept, dropped } = chooseKept(heard, decisions);
    expect(kept[0]!.start).toBeGreaterThan(9);
    expect(dropped[0]!.why).toBe("before the first answer: slate, clap");
  });

  it("drops a word between the clap and the first question", () => {
    const heard = material([sitter(10, 10.8), interviewer(12, 14), sitter(15, 40)], { claps: [9] });
    expect(chooseKept(heard, decisions).kept[0]!.start).toBeGreaterThan(14);
  });

  it("answers with nothing kept where nobody speaks", () => {
    expect(chooseKept(material([], { to: 10 }), decisions)).toEqual({
      kept: [],
      dropped: [{ start: 0, end: 10, why: "nobody speaks here" }],
    });
  });

  const talk = fc.array(
    fc.record({
      gap: fc.double({ min: 0.2, max: 6, noNaN: true }),
      length: fc.double({ min: 0.15, max: 9, noNaN: true }),
      asks: fc.boolean(),
      broken: fc.boolean(),
    }),
    { minLength: 1, maxLength: 12 },
  );
  test.prop([talk, fc.boolean()], { numRuns: 60 })(
    "kept and dropped tile the sitting; no word of a kept phrase is lost and none of a dropped one stays",
    (parts, keepQuestions) => {
      let at = 0;
      const phrases = parts.map(({ gap, length, asks }) => {
        const start = at + gap;
        at = start + length;
        return asks ? interviewer(start, at) : sitter(start, at);
      });
      const falseStarts = parts.flatMap(({ broken, asks }, i) =>
        broken && !asks && i + 1 < parts.length && !parts[i + 1]!.asks
          ? [{ phrase: i, likeness: 0.5, confidence: 0.7 }]
          : [],
      );
      const heard = material(phrases, { falseStarts });
      const { kept, dropped } = chooseKept(heard, { ...decisions, keepQuestions });
      const tiles = [...kept, ...dropped].sort((a, b) => a.start - b.start);
      let reached = heard.from;
      for (const { start, end } of tiles) {
        expect(start).toBeCloseTo(reached, 6);
        expect(end).toBeGreaterThan(start);
        reached = end;
      }
      expect(reached).toBeCloseTo(heard.to, 6);
      const broken = new Set(falseStarts.map(({ phrase }) => phrase));
      const firstInside = kept[0]?.start ?? Number.POSITIVE_INFINITY;
      for (const [i, phrase] of phrases.entries()) {
        if (phrase.start < firstInside) continue;
        const inside = kept.reduce(
          (sum, k) => sum + Math.max(0, Math.min(k.end, phrase.end) - Math.max(k.start, phrase.start)),
          0,
        );
        const stays = !broken.has(i) && (phrase.who === "sitter" || keepQuestions);
        expect(inside).toBeCloseTo(stays ? phrase.end - phrase.start : 0, 6);
      }
    },
  );
});
