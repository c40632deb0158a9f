import type { StoryResult } from "#documents/chapter-results";
import type { MarkSaid } from "#documents/said";
import type { BraidLayout } from "./braid-layout.ts";

type Event = StoryResult["events"][number];

/** Words beside the braid, at their time. */
export interface WordRow {
  readonly kind: "line" | "mark";
  readonly y: number;
  /** Room to the next row or the shot's end, pixels. */
  readonly height: number;
  readonly text: string;
  /** Program time to go to, seconds. */
  readonly at: number;
}

/**
 * Lines of transcripts and marks, each at its moment of the cut. Lines nearer together than a row is high become one
 * row; a mark always has its own. What the cut leaves out has no row here: it stands in its crease.
 *
 * @param rowHeight - Of one row of words, pixels.
 * @param headHeight - What each shot keeps free at its head.
 */
export function wordRows(
  lines: readonly NonNullable<StoryResult["lines"]>[number][],
  marks: readonly Pick<MarkSaid, "at" | "words">[],
  events: readonly Event[],
  layout: BraidLayout,
  rowHeight: number,
  headHeight: number,
): WordRow[] {
  const all = [
    ...lines.map(({ start, end, text, who }) => ({
      kind: "line" as const,
      start,
      end,
      text: who === undefined ? text : `${who}: ${text}`,
    })),
    ...marks.map(({ at, words }) => ({ kind: "mark" as const, start: at, end: at, text: words })),
  ].sort((a, b) => a.start - b.start);
  const found: { kind: WordRow["kind"]; y: number; text: string; at: number; until: number }[] = [];
  for (const { index, y0, y1 } of layout.shots) {
    const event = events[index]!;
    const perSecond = (y1 - y0) / (event.end - event.start);
    const first = found.length;
    for (const { kind, start, end, text } of inside(all, event)) {
      const from = Math.max(start, event.sittingStart);
      // A line that mostly lies in the shot before or after is told there.
      if (kind === "line" && Math.min(end, event.sittingEnd) - from < (end - start) / 2) continue;
      const at = event.start + from - event.sittingStart;
      const y = y0 + (from - event.sittingStart) * perSecond;
      const last = found.length > first ? found.at(-1) : undefined;
      const least = last ? last.y + rowHeight : y0 + headHeight;
      if (kind === "line" && last?.kind === "line" && y < least) last.text += ` ${text}`;
      else if (Math.max(y, least) + rowHeight <= y1 + 2 || !last)
        found.push({ kind, y: Math.max(y, least), text, at, until: y1 });
      else last.text += ` · ${text}`;
    }
  }
  return found.map(({ until, ...row }, i) => {
    const next = found[i + 1]?.y ?? Number.POSITIVE_INFINITY;
    return { ...row, height: Math.max(rowHeight, Math.min(next, until + 10) - row.y) };
  });
}

/** Those that begin or last within a shot; the list is in order of start. */
function inside<T extends { readonly start: number; readonly end: number }>(
  list: readonly T[],
  { sittingStart, sittingEnd }: Event,
): T[] {
  // A line is spoken in under a minute: nothing that began earlier can reach into the shot.
  let from = 0;
  let to = list.length;
  while (from < to) {
    const middle = (from + to) >> 1;
    if (list[middle]!.start < sittingStart - 60) from = middle + 1;
    else to = middle;
  }
  const found: T[] = [];
  for (let i = from; i < list.length && list[i]!.start < sittingEnd; i++) {
    const one = list[i]!;
    if (one.start >= sittingStart || one.end > sittingStart) found.push(one);
  }
  return found;
}
