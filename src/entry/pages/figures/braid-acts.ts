import type { StoryResult } from "#documents/chapter-results";

type Event = StoryResult["events"][number];

/** What a reader can do with the braid; absent where the cut cannot be changed. */
export interface BraidActs {
  /** Another camera for a stretch of the sitting. */
  readonly angle: (event: Pick<Event, "sittingStart" | "sittingEnd">, camera: string) => void;
  /** The shot goes; what comes before and after is joined. */
  readonly foldAway: (event: Pick<Event, "sittingStart" | "sittingEnd">) => void;
  readonly giveBack: (row: { readonly from: number; readonly to: number }) => void;
  /** The dialogue, to hear what was folded away; null where there is none. */
  readonly sound: { readonly address: string; readonly start: number } | null;
}

/** The other cameras that have a picture of the whole of a shot, or, where none has, of its middle. */
export function otherCameras(story: StoryResult, event: Event): string[] {
  const sources = story.material?.sources ?? [];
  const middle = (event.sittingStart + event.sittingEnd) / 2;
  const whole = sources.filter((s) => s.from <= event.sittingStart + 0.05 && s.to >= event.sittingEnd - 0.05);
  const part = sources.filter((s) => s.from <= middle && s.to > middle);
  const cameras = (list: typeof sources) =>
    [...new Set(list.map((s) => s.camera))].filter((camera) => camera !== event.camera).sort();
  const all = cameras(whole);
  return all.length > 0 ? all : cameras(part);
}
