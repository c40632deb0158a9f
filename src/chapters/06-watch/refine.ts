import type { SmallPicture } from "#documents/media-reader";
import { type Figures, lookAt } from "./look-at.ts";
import type { Judge, Seen, WatchRange } from "./ranges-from.ts";

/** Pictures of [start, end), thinned. */
export type MorePictures = (start: number, end: number, perSecond: number) => AsyncIterable<SmallPicture>;

const perSecond = 5;
/** Focus goes and comes back by degrees: near a known range less than usual counts, so that its edges are safe. */
const edgeStrictness = 0.35;
/** Focus begins to wander before any measure can tell. */
const softMarginSeconds = 0.25;
/** A turn of the head may blur a picture; a lost focus lasts. */
const leastSeconds = 0.6;

/**
 * Moves the edges of a range to where the complaint begins and ends, looking at five pictures a second between
 * the last good and the first bad picture on either side. The range then runs from the last good picture to the
 * first good one, so that a cut which stays off it shows nothing of the fault.
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
  const isBad = (look: Figures): boolean => judge.complaints(look, edgeStrictness)[range.kind] !== undefined;
  const before = looks.findLast((look) => look.at < range.start && !isBad(look));
  const after = looks.find((look) => look.at >= range.end && !isBad(look));
  const seen = async (from: number, to: number): Promise<{ at: number; bad: boolean }[]> => {
    const list: { at: number; bad: boolean }[] = [];
    for await (const picture of more(from, to, perSecond)) {
      list.push({ at: picture.atSeconds, bad: isBad(lookAt(picture)) });
    }
    return list;
  };
  let { start, end } = range;
  let plainlyBad = last.at - first.at;
  if (before) {
    const list = await seen(before.at, first.at);
    const good = list.findLast((s) => !s.bad);
    start = good?.at ?? before.at;
    plainlyBad += first.at - (list.find((s) => s.at > start)?.at ?? first.at);
  }
  if (after) {
    const list = await seen(last.at, after.at);
    const bad = list.findLast((s) => s.bad);
    end = list.find((s) => s.at > last.at && !s.bad)?.at ?? after.at;
    plainlyBad += Math.max(0, (bad?.at ?? last.at) - last.at);
  }
  if (plainlyBad < leastSeconds) return null;
  const margin = range.kind === "soft" ? softMarginSeconds : 0;
  return {
    ...range,
    start: before ? Math.max(0, start - margin) : start,
    end: after ? Math.min(end + margin, after.at) : end,
  };
}
