import type { StoryResult } from "#documents/chapter-results";

type Event = StoryResult["events"][number];

/** Program time at which a moment of the sitting is seen, or null where the cut leaves it out. */
export function sittingToProgram(events: readonly Event[], sittingTime: number): number | null {
  const event = events.find((e) => sittingTime >= e.sittingStart && sittingTime < e.sittingEnd);
  return event ? event.start + (sittingTime - event.sittingStart) : null;
}

/** Index of the event on screen at a program time; -1 outside the cut. Ranges are [start, end). */
export function eventAt(events: readonly Event[], programTime: number): number {
  return events.findIndex((e) => programTime >= e.start && programTime < e.end);
}
