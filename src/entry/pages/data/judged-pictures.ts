import type { StoryResult, WatchResult } from "#documents/chapter-results";
import type { PictureSaid } from "#documents/said";
import { sourcesOf } from "#story/material-document";
import { badOnClock } from "#story/picture-sources";
import { withSaidPictures } from "#watch/said-pictures";

type Watched = WatchResult["recordings"][number];
type Measured = Parameters<typeof withSaidPictures>[0][number];

/** Parts of one range that lie closer than this were cut from it by what was said; seconds. */
const seam = 1e-6;

/**
 * Story's result with the ranges to avoid as a person judges them now, before Watch and Story have measured it again:
 * the cut that is chosen from it follows at once.
 *
 * @param watch - What Watch knows, with what was said when it was measured; without it the result stays as it is.
 */
export function withJudgedPictures(
  result: StoryResult,
  watch: WatchResult | null,
  pictures: readonly PictureSaid[],
): StoryResult {
  const { material } = result;
  if (!material || !watch) return result;
  const placed = sourcesOf(material);
  const sources = material.sources.map((source, i) => {
    const watched = watch.recordings.find(({ hash }) => hash === source.hash);
    if (!watched) return source;
    const { avoid } = withSaidPictures(
      measuredRanges(watched),
      pictures.filter(({ hash }) => hash === source.hash),
    );
    return { ...source, bad: badOnClock(placed[i]!.placement, avoid) };
  });
  return { ...result, material: { ...material, sources } };
}

/** What was measured, whole again where a person's word had taken a part out of it. */
function measuredRanges({ ranges, overruled = [] }: Watched): Measured[] {
  const parts = [...ranges.filter(({ said }) => !said), ...overruled]
    .map(({ start, end, kind, severity, evidence }) => ({
      start,
      end,
      kind,
      severity,
      evidence,
      worstAt: (start + end) / 2,
    }))
    .sort((a, b) => a.start - b.start);
  const whole: Measured[] = [];
  for (const part of parts) {
    const k = whole.findIndex((w) => w.kind === part.kind && Math.abs(w.end - part.start) < seam);
    if (k < 0) whole.push(part);
    else whole[k] = { ...whole[k]!, end: part.end };
  }
  return whole;
}
