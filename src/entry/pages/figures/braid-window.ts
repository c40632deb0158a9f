import type { StoryResult } from "#documents/chapter-results";

/**
 * How many shots of a long cut are shown at once where the height cannot hold all: as many as have 34 px each, on
 * average, and at least four. All of them where 20 px each will do.
 */
export function shotsAtOnce(shots: number, height: number): number {
  return shots * 20 <= height ? shots : Math.max(4, Math.floor(height / 34));
}

/** The part of a cut from shot `first`, with what was folded away within that part. */
export function partOfCut(story: StoryResult, first: number, shots: number): StoryResult {
  if (first === 0 && shots >= story.events.length) return story;
  const events = story.events.slice(first, first + shots);
  const from = events[0]?.sittingStart ?? 0;
  const to = events.at(-1)?.sittingEnd ?? 0;
  return {
    ...story,
    events,
    dropped: story.dropped.filter((d) => d.start >= from - 1e-6 && d.end <= to + 1e-6),
  };
}
