import { fc, test } from "@fast-check/vitest";
import { expect } from "vitest";
import type { SourceSaid } from "#documents/said";
import { withSaidSources } from "./said-sources.ts";
import type { Segment } from "./segments.ts";

const segments: Segment[] = [
  { start: 0, end: 30, source: "lav", why: "the lav is close and clean" },
  { start: 30, end: 42, source: "boom", why: "cloth rubbed on the lav" },
  { start: 42, end: 60, source: "lav", why: "the lav is close and clean" },
];
const trackStart = -2;
const lengths = fc.tuple(fc.integer({ min: 0, max: 6 }), fc.integer({ min: 1, max: 9 }));
/** Choices apart from one another, in order. */
const choices = fc
  .array(fc.tuple(lengths, fc.constantFrom("lav" as const, "boom" as const, "both" as const)), {
    maxLength: 6,
  })
  .map((list) => {
    let at = -5;
    return list.map(([[gap, length], source]): SourceSaid => {
      const from = at + gap;
      at = from + length;
      return { from, to: at, source };
    });
  });

test.prop([choices], { numRuns: 80 })(
  "what a person chose is heard there, the rest is as it was, and no moment is lost or doubled",
  (said) => {
    const whole = withSaidSources(segments, said, trackStart);
    expect(whole[0]!.start).toBe(0);
    expect(whole.at(-1)!.end).toBe(60);
    whole.slice(1).forEach((segment, i) => {
      expect(segment.start).toBe(whole[i]!.end);
    });
    for (let t = 0.5; t < 60; t++) {
      const now = whole.find((s) => s.start <= t && t < s.end)!;
      const word = said.find((s) => s.from - trackStart <= t && t < s.to - trackStart);
      expect(now.source).toBe(word?.source ?? segments.find((s) => s.start <= t && t < s.end)!.source);
      expect(now.said).toBe(word ? true : undefined);
    }
  },
);
