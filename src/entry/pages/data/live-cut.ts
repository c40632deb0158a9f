import { useMemo } from "react";
import type { StoryResult, WatchResult } from "#documents/chapter-results";
import type { ChapterOnPage } from "#documents/page";
import type { Said } from "#documents/said";
import { type Cut, cutGround, cutStory, withCut } from "#story/cut-story";
import { storyVerdict } from "#story/story-verdict";
import { withJudgedPictures } from "./judged-pictures.ts";

/** Story as it stands with all that is said, measured or not yet. */
export interface LiveCut {
  readonly chapter: ChapterOnPage<"story">;
  /** Whether the cut is another than the one that was measured. */
  readonly isAhead: boolean;
}

/**
 * Chooses the cut again, at once, whenever something is said of it or of the pictures that it is cut from; the measured
 * one where that is the same.
 */
export function useLiveCut(
  measured: ChapterOnPage<"story">,
  watch: WatchResult | null,
  said: Said | null,
): LiveCut {
  const { result } = measured;
  const pictures = said?.pictures;
  const ground = useMemo(
    () => (result ? cutGround(pictures ? withJudgedPictures(result, watch, pictures) : result) : undefined),
    [result, watch, pictures],
  );
  const [story, keepQuestions, longestPause] = [said?.story, said?.keepQuestions, said?.longestPause];
  return useMemo(() => {
    if (!result || !ground || !story || keepQuestions === undefined || longestPause === undefined)
      return { chapter: measured, isAhead: false };
    const cut = cutStory(ground, { keepQuestions, longestPause, story });
    if (isSame(cut, result)) return { chapter: measured, isAhead: false };
    const fresh = withCut(result, cut);
    return {
      chapter: { ...measured, result: fresh, verdict: storyVerdict(fresh), findings: fresh.findings },
      isAhead: true,
    };
  }, [measured, result, ground, story, keepQuestions, longestPause]);
}

function isSame(cut: Cut, measured: StoryResult): boolean {
  return (
    cut.events.length === measured.events.length &&
    cut.events.every((event, i) => {
      const old = measured.events[i]!;
      return (
        event.hash === old.hash &&
        event.scale === old.scale &&
        event.said === old.said &&
        near(event.start, old.start) &&
        near(event.sittingStart, old.sittingStart) &&
        near(event.end, old.end)
      );
    })
  );
}

const near = (p: number, q: number): boolean => Math.abs(p - q) < 1e-4;
