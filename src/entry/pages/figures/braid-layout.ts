import type { StoryResult } from "#documents/chapter-results";

type Event = StoryResult["events"][number];
type Dropped = StoryResult["dropped"][number];

/** A stretch of the cut on the page, `[y0, y1)`. */
export interface BraidShot {
  readonly index: number;
  readonly y0: number;
  readonly y1: number;
}

/** Something folded away between two shots (or before the first, after the last). */
export interface BraidCrease {
  readonly id: string;
  /** Index of the shot that follows; equals the number of shots after the last one. */
  readonly beforeShot: number;
  readonly y0: number;
  readonly y1: number;
  readonly seconds: number;
  /** One under 10 s, two under a minute, three above. */
  readonly lines: 1 | 2 | 3;
  readonly parts: readonly Dropped[];
  readonly isUnfolded: boolean;
}

export interface BraidLayout {
  readonly shots: readonly BraidShot[];
  readonly creases: readonly BraidCrease[];
  readonly height: number;
}

/**
 * Lays the cut down the page: one scale for every shot, a gap for every crease.
 *
 * @param pixelsPerSecond - Of program time.
 * @param sizes - `cut` is the gap at a change without a crease; `crease` the least gap at one; `line` what each crease
 *   line and each unfolded row adds.
 * @param rowsOf - How many rows the folded stretches of one crease open to.
 */
export function layOutBraid(
  events: readonly Event[],
  dropped: readonly Dropped[],
  pixelsPerSecond: number,
  sizes: { readonly cut: number; readonly crease: number; readonly line: number; readonly part: number },
  unfolded: ReadonlySet<string>,
  rowsOf: (parts: readonly Dropped[]) => number = (parts) => parts.length,
): BraidLayout {
  const shots: BraidShot[] = [];
  const creases: BraidCrease[] = [];
  let y = 0;
  // Both lists are in order of time: what lies before one shot is not looked at again for the next.
  const folded = dropped.filter((d) => d.end - d.start > 1e-6).sort((p, q) => p.start - q.start);
  let next = 0;
  for (let i = 0; i <= events.length; i++) {
    const to = i === events.length ? Number.POSITIVE_INFINITY : events[i]!.sittingStart;
    const parts: Dropped[] = [];
    for (; next < folded.length && middle(folded[next]!) < to + 1e-6; next++) parts.push(folded[next]!);
    const seconds = parts.reduce((sum, d) => sum + d.end - d.start, 0);
    if (parts.length > 0) {
      const lines = creaseLines(seconds);
      const id = `crease-${i}`;
      const isUnfolded = unfolded.has(id);
      const height =
        sizes.crease + sizes.line * lines + (isUnfolded ? sizes.part * (rowsOf(parts) + 0.5) : 0);
      creases.push({ id, beforeShot: i, y0: y, y1: y + height, seconds, lines, parts, isUnfolded });
      y += height;
    } else if (i > 0 && i < events.length) y += sizes.cut;
    const event = events[i];
    if (event) {
      const height = (event.end - event.start) * pixelsPerSecond;
      shots.push({ index: i, y0: y, y1: y + height });
      y += height;
    }
  }
  return { shots, creases, height: y };
}

/** One crease line under 10 s, two under a minute, three above. */
export function creaseLines(seconds: number): 1 | 2 | 3 {
  return seconds < 10 ? 1 : seconds < 60 ? 2 : 3;
}

/** Where a program time stands on the page: on its shot, or at the nearest end of the cut. */
export function programToY(events: readonly Event[], layout: BraidLayout, programTime: number): number {
  for (const shot of layout.shots) {
    const event = events[shot.index]!;
    if (programTime < event.end) {
      const share = Math.max(0, (programTime - event.start) / (event.end - event.start));
      return shot.y0 + share * (shot.y1 - shot.y0);
    }
  }
  return layout.shots.at(-1)?.y1 ?? 0;
}

/**
 * Pixels a second so that the middling shot can hold its picture: quick cuts need a larger scale than slow ones.
 *
 * @param pictureHeight - What a whole picture needs.
 * @returns Between 6.7 (a shot of 15 s stands 100 px high) and 40.
 */
export function braidScale(events: readonly Event[], pictureHeight: number): number {
  const lengths = events.map((e) => e.end - e.start).sort((p, q) => p - q);
  const median = lengths[Math.floor(lengths.length / 2)] ?? 15;
  return Math.min(40, Math.max(6.7, (pictureHeight * 1.08) / Math.max(median, 0.5)));
}

function middle(range: Dropped): number {
  return (range.start + range.end) / 2;
}
