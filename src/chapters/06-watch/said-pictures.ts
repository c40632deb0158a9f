import type { PictureSaid } from "#documents/said";
import type { WatchRange } from "./ranges-from.ts";

/** What the cut must avoid once a person has judged, and what it may use by that person's word. */
export interface JudgedRanges {
  readonly avoid: readonly (WatchRange & { readonly said?: true })[];
  readonly overruled: readonly WatchRange[];
}

/** What is left of a range shorter than this shows nothing, seconds. */
const leastSeconds = 0.1;

/**
 * Lays what a person said of one recording's picture over what was measured: a stretch called fine is taken out of every
 * range that it touches, a stretch to be avoided becomes a range of its own. Local time throughout.
 *
 * @param said - Of this recording alone.
 */
export function withSaidPictures(ranges: readonly WatchRange[], said: readonly PictureSaid[]): JudgedRanges {
  const fine = said.filter(({ says }) => says === "fine");
  const avoid = ranges.flatMap((range) => {
    let parts: WatchRange[] = [range];
    for (const { from, to } of fine)
      parts = parts.flatMap((part) =>
        part.end <= from || part.start >= to
          ? [part]
          : [within(part, part.start, from), within(part, to, part.end)],
      );
    return parts.filter(isSeen);
  });
  const overruled = ranges.flatMap((range) =>
    fine
      .map(({ from, to }) => within(range, Math.max(range.start, from), Math.min(range.end, to)))
      .filter(isSeen),
  );
  const unwanted = said
    .filter(({ says }) => says === "avoid")
    .map(({ from, to }) => ({
      start: from,
      end: to,
      kind: "unwanted" as const,
      severity: 1,
      evidence: "You asked to avoid it.",
      worstAt: (from + to) / 2,
      said: true as const,
    }));
  return { avoid: [...avoid, ...unwanted].sort((a, b) => a.start - b.start), overruled };
}

const isSeen = ({ start, end }: WatchRange): boolean => end - start > leastSeconds;

/** The range from `start` to `end`, and in it the moment nearest to the one that shows it best. */
function within(range: WatchRange, start: number, end: number): WatchRange {
  return {
    ...range,
    start,
    end,
    worstAt: Math.min(Math.max(range.worstAt, start), Math.max(start, end - 0.05)),
  };
}
