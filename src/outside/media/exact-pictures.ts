import type { DeepPicture, SmallPicture } from "#documents/media-reader";
import { PictureConverter } from "./picture-converter.ts";
import { type LentFrame, PictureCursor } from "./picture-cursor.ts";
import type { DecodeCounts } from "./sound-source.ts";
import type { Timeline } from "./timeline.ts";

/** Pictures further apart than this are jumped to rather than decoded up to. Seconds. */
const longestWalkSeconds = 4;

/**
 * Every frame in [start, end), small, thinned to at most `perSecond`.
 *
 * @throws ExplainedError as {@link PictureCursor.open}.
 */
export async function* readPictures(
  path: string,
  timeline: Timeline,
  rotationDegrees: number,
  wish: {
    readonly maxWidth: number;
    readonly startSeconds: number;
    readonly endSeconds: number;
    readonly perSecond: number;
  },
  counts: DecodeCounts,
): AsyncGenerator<SmallPicture> {
  const span = Math.max(0, Math.min(wish.endSeconds, 1e6) - wish.startSeconds);
  const cursor = await PictureCursor.open(path, timeline, span);
  const converter = new PictureConverter(cursor.media.picture!, rotationDegrees, cursor.media.limit);
  const spacing = 1 / wish.perSecond;
  // Time stamps are rounded to ticks.
  const grace = cursor.graceSeconds;
  try {
    let lent = await cursor.at(wish.startSeconds);
    while (lent && lent.atSeconds < wish.startSeconds - grace) lent = await cursor.next();
    let due = Number.NEGATIVE_INFINITY;
    while (lent && lent.atSeconds < wish.endSeconds - grace) {
      const { atSeconds } = lent;
      if (atSeconds >= due - grace) {
        const picture = await converter.small(lent.frame, wish.maxWidth);
        yield { atSeconds, ...picture };
        due = atSeconds - due < spacing ? due + spacing : atSeconds + spacing;
      }
      lent = await nextFrom(cursor, atSeconds, due);
    }
    counts.undecodable += cursor.undecodable;
  } finally {
    converter.free();
    await cursor.close();
  }
}

/** The frame to look at next: the following one, or where that is far off the first from `due` on. */
async function nextFrom(cursor: PictureCursor, atSeconds: number, due: number): Promise<LentFrame | null> {
  if (due - atSeconds < longestWalkSeconds) return cursor.next();
  const lent = await cursor.at(due);
  return lent && lent.atSeconds > atSeconds ? lent : cursor.next();
}

/**
 * The frames on screen at these local times, full size, one for each time and in their order. Before the first
 * frame it is the first; after the last, the last.
 *
 * @throws ExplainedError as {@link PictureCursor.open}.
 */
export async function* readFramesAt(
  path: string,
  timeline: Timeline,
  rotationDegrees: number,
  timesSeconds: readonly number[],
  counts: DecodeCounts,
): AsyncGenerator<DeepPicture> {
  if (timesSeconds.length === 0) return;
  const span = Math.max(...timesSeconds) - Math.min(...timesSeconds);
  const cursor = await PictureCursor.open(path, timeline, span + timesSeconds.length);
  const converter = new PictureConverter(cursor.media.picture!, rotationDegrees, cursor.media.limit);
  try {
    for (const time of timesSeconds) {
      const lent = await cursor.at(time);
      if (!lent) break;
      const picture = await converter.deep(lent.frame);
      yield { atSeconds: lent.atSeconds, ...picture };
    }
    counts.undecodable += cursor.undecodable;
  } finally {
    converter.free();
    await cursor.close();
  }
}
