import type { SmallPicture } from "#documents/media-reader";
import { lookAt } from "./look-at.ts";
import type { Judge, Seen, WatchRange } from "./ranges-from.ts";

/** Pictures of [start, end), thinned. */
export type MorePictures = (start: number, end: number, perSecond: number) => AsyncIterable<SmallPicture>;

const perSecond = 5;
/** A turn of the head may blur a picture; a lost focus lasts. */
const leastSeconds = 0.6;

/**
 * Moves the edges of a range to where the complaint begins and ends, looking at five pictures a second between
 * the last good and the first bad picture on either side.
 *
 * @returns The range, or `null` where the closer look does not bear it out.
 */
export async function refined(
  range: WatchRange,
  looks: readonly Seen[],
  judge: Judge,
  more: MorePictures,
): Promise<WatchRange | null> {
  if (range.kind === "moved" || range.kind === "bump" || range.kind === "frozen" || range.kind === "stopped")
    return range;
  const inside = looks.filter((look) => look.at >= range.start && look.at < range.end);
  const first = inside[0];
  const last = inside.at(-1);
  if (!first || !last) return range;
  const before = looks.findLast((look) => look.at < range.start);
  const after = looks.find((look) => look.at >= range.end);
  const bad = async (from: number, to: number): Promise<{ at: number; bad: boolean }[]> => {
    const seen: { at: number; bad: boolean }[] = [];
    for await (const picture of more(from, to, perSecond)) {
      seen.push({ at: picture.atSeconds, bad: judge.complaints(lookAt(picture))[range.kind] !== undefined });
    }
    return seen;
  };
  let { start, end } = range;
  if (before) {
    // The last good picture before the first bad one closes the good stretch.
    const seen = await bad(before.at, first.at);
    const lastGood = seen.findLast((s) => !s.bad);
    const next = seen.find((s) => s.at > (lastGood?.at ?? Number.NEGATIVE_INFINITY));
    start = lastGood ? (next?.at ?? first.at) : before.at;
  }
  if (after) {
    const seen = await bad(last.at, after.at);
    end = seen.find((s) => s.at > last.at && !s.bad)?.at ?? after.at;
  }
  return end - start < leastSeconds ? null : { ...range, start, end };
}
