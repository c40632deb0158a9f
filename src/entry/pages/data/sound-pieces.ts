import type { StoryResult } from "#documents/chapter-results";

/** A stretch of the dialogue that runs on without a join; seconds. */
export interface SoundPiece {
  readonly start: number;
  readonly end: number;
  readonly sittingStart: number;
}

/** The cut as its sound is heard: shots that go on without a join are one piece. */
export function soundPieces(
  events: readonly Pick<StoryResult["events"][number], "start" | "end" | "sittingStart" | "sittingEnd">[],
): SoundPiece[] {
  const pieces: { start: number; end: number; sittingStart: number; sittingEnd: number }[] = [];
  for (const { start, end, sittingStart, sittingEnd } of events) {
    const last = pieces.at(-1);
    if (last && Math.abs(last.sittingEnd - sittingStart) < 1e-3) {
      last.end = end;
      last.sittingEnd = sittingEnd;
    } else pieces.push({ start, end, sittingStart, sittingEnd });
  }
  return pieces.map(({ start, end, sittingStart }) => ({ start, end, sittingStart }));
}
