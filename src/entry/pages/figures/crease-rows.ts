import type { StoryResult } from "#documents/chapter-results";

/** One thing that lies in a crease and can be given back by itself. */
export interface CreaseRow {
  readonly from: number;
  readonly to: number;
  /** Who speaks in it; null for a pause and the like. */
  readonly who: "sitter" | "interviewer" | null;
  readonly why: string;
  /** What is said, where a transcript says it. */
  readonly text?: string;
}

/** Phrases of one talker with less than this between them are one thing said, seconds. */
const oneBreath = 1.2;
/** What would be left folded beside a phrase that is given back, if it is shorter than this, is given back too; seconds. */
const leastRest = 0.5;
/** Kept about a phrase that is given back, so that no word is clipped; seconds, as far as there is room. */
const air = { before: 0.12, after: 0.2 };

/** What lies in folded stretches: every thing said in them, or the stretch itself where nobody speaks. */
export function creaseRows(
  parts: readonly StoryResult["dropped"][number][],
  speech: StoryResult["speech"],
  lines: readonly NonNullable<StoryResult["lines"]>[number][] = [],
): CreaseRow[] {
  return parts.flatMap((part): CreaseRow[] => {
    const said: { start: number; end: number; who: "sitter" | "interviewer" }[] = [];
    for (const { start, end, who } of speech) {
      if (end - 0.05 <= part.start || start + 0.05 >= part.end) continue;
      const last = said.at(-1);
      if (last && last.who === who && start - last.end < oneBreath) last.end = end;
      else said.push({ start, end, who });
    }
    if (said.length === 0) return [{ from: part.start, to: part.end, who: null, why: part.why }];
    return said.map(({ start, end, who }, i) => {
      const before = said[i - 1];
      const after = said[i + 1];
      const from = Math.max(part.start, start - air.before, before ? (before.end + start) / 2 : part.start);
      const to = Math.min(part.end, end + air.after, after ? (end + after.start) / 2 : part.end);
      const text = lines
        .filter((line) => Math.min(end, line.end) - Math.max(start, line.start) > (line.end - line.start) / 2)
        .map((line) => line.text)
        .join(" ");
      // A rest too short to be worth a join comes with it.
      return {
        from: from - part.start < leastRest ? part.start : from,
        to: part.end - to < leastRest ? part.end : to,
        who,
        why: part.why,
        ...(text === "" ? {} : { text }),
      };
    });
  });
}
