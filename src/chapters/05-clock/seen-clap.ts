import type { MediaReader, SmallPicture } from "#documents/media-reader";
import type { Recording } from "#documents/recording";

/** A moment at which a picture shows what was heard. */
export interface SeenMoment {
  /** Local time of the first frame that shows it, seconds. */
  readonly at: number;
  /** Time from the frame before: it happened somewhere within this, or the shutter's part of it. */
  readonly frameSeconds: number;
  readonly kind: "flash" | "shut";
}

/** How far on either side of the clap pictures are looked at, seconds. */
const lookSeconds = 0.5;
const lookWidth = 160;
const blocks = 16;
/** A flash makes a block lighter by this much from one frame to the next, of 255, and ten times what is usual there. */
const leastFlash = 20;
const flashOverUsual = 10;
/** In at least so many blocks at once: a telephone's face held up is larger. */
const leastFlashBlocks = 3;
/** Light only adds: what moves makes as much darker behind it as lighter before it. Share that may darken. */
const mostDarkening = 0.2;
/** And it goes again, back to within this share, in this time. */
const flashRest = 0.35;
const longestFlashSeconds = 0.45;
/** A slate that falls shut moves this much a frame in its block, of 255, and then stands still. */
const leastMotion = 6;
const stillShare = 0.25;
/** It moves in a part of the picture, and moved nearby in the picture before too; a lamp does neither. */
const mostMoving = 0.25;
const nearBlocks = 3;

/** Looks for a light flash, or for something that moves fast and stops at once, around a moment. */
export async function seenAround(
  recording: Recording,
  media: MediaReader,
  localSeconds: number,
): Promise<SeenMoment | null> {
  const pictures: SmallPicture[] = [];
  const wish = {
    maxWidth: lookWidth,
    startSeconds: Math.max(0, localSeconds - lookSeconds),
    endSeconds: localSeconds + lookSeconds,
    perSecond: 240,
  };
  for await (const picture of media.pictures(recording, wish)) pictures.push(picture);
  return seenIn(pictures, localSeconds);
}

/**
 * The moment in a row of pictures at which the light jumps somewhere and falls back, or at which a movement that
 * was fast stands still; of several, the one nearest to what was heard.
 *
 * @returns null where neither is plain.
 */
export function seenIn(pictures: readonly SmallPicture[], heardAt: number): SeenMoment | null {
  if (pictures.length < 6) return null;
  const light = pictures.map(blockLightness);
  return flashIn(pictures, light, heardAt) ?? shutIn(pictures, heardAt);
}

function flashIn(
  pictures: readonly SmallPicture[],
  light: readonly Float64Array[],
  heardAt: number,
): SeenMoment | null {
  const cells = light[0]!.length;
  const step = (i: number, b: number) => light[i]![b]! - light[i - 1]![b]!;
  const usual = Array.from({ length: cells }, (_, b) =>
    median(light.slice(1).map((_, i) => Math.abs(step(i + 1, b)))),
  );
  let best: (SeenMoment & { rank: number }) | null = null;
  for (let i = 1; i < light.length; i++) {
    const lit = usual.flatMap((u, b) =>
      step(i, b) >= leastFlash && step(i, b) >= flashOverUsual * (u + 0.5) ? [b] : [],
    );
    if (lit.length < leastFlashBlocks) continue;
    const rise = lit.reduce((sum, b) => sum + step(i, b), 0);
    const darker = usual.reduce((sum, _, b) => sum + Math.max(0, -step(i, b) - 2), 0);
    if (darker > mostDarkening * rise) continue;
    const at = pictures[i]!.atSeconds;
    let isOver = false;
    for (let k = i + 1; k < light.length && !isOver; k++) {
      if (pictures[k]!.atSeconds - at > longestFlashSeconds) break;
      // What moves on makes other places lighter.
      if (usual.reduce((sum, _, b) => sum + Math.max(0, step(k, b) - 2), 0) > mostDarkening * rise) break;
      isOver = lit.reduce((sum, b) => sum + light[k]![b]! - light[i - 1]![b]!, 0) < flashRest * rise;
    }
    if (!isOver) continue;
    const rank = rise - 40 * lit.length * Math.abs(at - heardAt);
    const frameSeconds = at - pictures[i - 1]!.atSeconds;
    if (!best || rank > best.rank) best = { at, frameSeconds, kind: "flash", rank };
  }
  return best && { at: best.at, frameSeconds: best.frameSeconds, kind: best.kind };
}

function shutIn(pictures: readonly SmallPicture[], heardAt: number): SeenMoment | null {
  const motion = pictures.map((p, i) => (i === 0 ? null : blockMotion(pictures[i - 1]!, p)));
  let best: (SeenMoment & { rank: number }) | null = null;
  const parts = motion[1]!.length;
  for (let i = 2; i + 3 < motion.length; i++) {
    if (motion[i]!.filter((m) => m >= leastMotion).length > mostMoving * parts) continue;
    for (let b = 0; b < parts; b++) {
      const last = motion[i]![b]!;
      if (last < leastMotion || mostNear(motion[i - 1]!, b) < leastMotion) continue;
      const still = Math.max(...[1, 2, 3].map((k) => mostNear(motion[i + k]!, b)));
      if (still > stillShare * last) continue;
      const frameSeconds = pictures[i]!.atSeconds - pictures[i - 1]!.atSeconds;
      const rank = last - still - 60 * Math.abs(pictures[i]!.atSeconds - heardAt);
      if (!best || rank > best.rank) best = { at: pictures[i]!.atSeconds, frameSeconds, kind: "shut", rank };
    }
  }
  return best && { at: best.at, frameSeconds: best.frameSeconds, kind: best.kind };
}

/** The most that moves in and around a block. */
function mostNear(motion: Float64Array, block: number): number {
  const [x, y] = [block % blocks, Math.floor(block / blocks)];
  let most = 0;
  for (let v = Math.max(0, y - nearBlocks); v <= Math.min(blocks - 1, y + nearBlocks); v++)
    for (let u = Math.max(0, x - nearBlocks); u <= Math.min(blocks - 1, x + nearBlocks); u++)
      most = Math.max(most, motion[v * blocks + u]!);
  return most;
}

function blockLightness({ rgb, width, height }: SmallPicture): Float64Array {
  return overBlocks(width, height, (i) => 0.25 * rgb[i]! + 0.5 * rgb[i + 1]! + 0.25 * rgb[i + 2]!);
}

function blockMotion(before: SmallPicture, after: SmallPicture): Float64Array {
  const { width, height, rgb } = after;
  return overBlocks(width, height, (i) => Math.abs(rgb[i + 1]! - (before.rgb[i + 1] ?? 0)));
}

/** Mean of a value of each pixel, given the place of its red, over a grid of blocks. */
function overBlocks(width: number, height: number, value: (i: number) => number): Float64Array {
  const sums = new Float64Array(blocks * blocks);
  const counts = new Float64Array(blocks * blocks);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const b = Math.floor((y * blocks) / height) * blocks + Math.floor((x * blocks) / width);
      sums[b]! += value(3 * (y * width + x));
      counts[b]!++;
    }
  return sums.map((sum, b) => sum / Math.max(1, counts[b]!));
}

function median(values: readonly number[]): number {
  return values.toSorted((a, b) => a - b)[values.length >> 1] ?? 0;
}
