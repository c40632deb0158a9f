import { mkdir, readdir, rm, stat, utimes } from "node:fs/promises";
import { join } from "node:path";
import type { RenderClip } from "#documents/chapter";
import type { FrameRate } from "#documents/recording";
import { contentKey } from "./result-cache.ts";

/*
 * measured/parts/<key>.mp4: the picture of each shot of the rendered cut by itself, named by what it shows. After an
 * edit only the shots that are new are rendered, a render that was stopped goes on where it was, and the cut is joined
 * from the parts. Safe to delete.
 */

/** Raise it when the same shot would be encoded otherwise. */
const partVersion = 1;

interface PartFormat {
  readonly width: number;
  readonly height: number;
  readonly frameRate: FrameRate;
}

const folderOf = (sitting: string): string => join(sitting, "measured", "parts");

/** Frames of a clip; undefined where it is not a whole number of them. */
function wholeFrames({ sourceStart, sourceEnd }: RenderClip, { num, den }: FrameRate): number | undefined {
  const frames = ((sourceEnd - sourceStart) * num) / den;
  return Math.abs(frames - Math.round(frames)) < 1e-4 && frames > 0.5 ? Math.round(frames) : undefined;
}

/**
 * Where the parts of a cut are kept or go, in the clips' order; the folder is made.
 *
 * @returns undefined where a clip is no whole number of frames long: such a cut is rendered in one.
 */
export async function partsFor(
  sitting: string,
  clips: readonly RenderClip[],
  format: PartFormat,
): Promise<string[] | undefined> {
  const parts: string[] = [];
  for (const { recording, sourceStart, luts, scale, ...clip } of clips) {
    const frames = wholeFrames({ recording, sourceStart, luts, scale, ...clip }, format.frameRate);
    if (frames === undefined) return undefined;
    const content = [partVersion, recording.hash, sourceStart, frames, luts, scale, format];
    parts.push(join(folderOf(sitting), `${contentKey(content)}.mp4`));
  }
  await mkdir(folderOf(sitting), { recursive: true });
  return parts;
}

/**
 * After a render: its parts are marked as used, and of the others the longest unused go, so that what an undo would
 * need takes no more room than the cut itself.
 */
export async function pruneParts(sitting: string, used: readonly string[], now = new Date()): Promise<void> {
  const inUse = new Set(used);
  for (const part of inUse) await utimes(part, now, now).catch(() => {});
  const others: { path: string; bytes: number; at: number }[] = [];
  let room = 0;
  for (const name of await readdir(folderOf(sitting)).catch(() => [])) {
    const path = join(folderOf(sitting), name);
    const found = await stat(path).catch(() => undefined);
    if (!found) continue;
    if (inUse.has(path)) room += found.size;
    else others.push({ path, bytes: found.size, at: found.mtimeMs });
  }
  others.sort((a, b) => b.at - a.at);
  for (const { path, bytes } of others) {
    room -= bytes;
    if (room < 0 || path.endsWith(".part")) await rm(path, { force: true });
  }
}
