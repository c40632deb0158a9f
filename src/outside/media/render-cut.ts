import { rm } from "node:fs/promises";
import { framesOfPart, joinParts } from "./join-parts.ts";
import { openFileSound, soundChannelsOf } from "./media-reader.ts";
import { encodeProgram, failWhenCancelled, type ProgramOptions } from "./program.ts";
import { clipBounds, type ProgramClip, type ProgramSize, ProgramSources } from "./program-picture.ts";
import type { ProgramSound } from "./sound-beneath.ts";

/** AAC is made at the rate that the sound is handed over in. */
const soundRateHz = 48_000;

export interface RenderOptions extends ProgramOptions {
  /**
   * Where the picture of each clip by itself is kept, in the clips' order (`.mp4`): those that are there are used, the
   * others made, and the cut is joined from them without encoding anything again. Each path must stand for the clip's
   * whole content and the format; each clip must be a whole number of frames long.
   */
  readonly parts?: readonly string[];
}

/**
 * Renders clips end to end with one sound file under them: an MP4 with its index first.
 *
 * Clips begin and end on whole frames, by rounding the program time up to them; source frames are chosen by
 * their time stamps, so sources of any rate, also a variable one, keep step. Sources of another size are scaled;
 * bars are added only where the aspect differs.
 *
 * @param out - Ends in `.mp4`. The file appears whole or not at all.
 * @param soundPath - Its sample 0 is at program time 0. Mono stays mono, so that its loudness stays.
 * @throws ExplainedError as the reader's and the writer's own, `LUT_INVALID`, `CANCELLED`.
 */
export async function renderCut(
  out: string,
  clips: readonly ProgramClip[],
  soundPath: string,
  format: ProgramSize,
  { parts, ...options }: RenderOptions = {},
): Promise<{ frames: number }> {
  if (!parts) return encodeProgram(out, clips, format, await soundOf(soundPath), options);
  await makeParts(parts, clips, format, options);
  try {
    return await joinParts(out, parts, format.frameRate, await soundOf(soundPath), options.signal);
  } catch (cause) {
    if (!(cause instanceof TypeError)) throw cause;
    // Parts that another encoder left here do not fit: they go, and the cut is encoded in one.
    for (const part of parts) await rm(part, { force: true });
    return encodeProgram(out, clips, format, await soundOf(soundPath), options);
  }
}

async function soundOf(path: string): Promise<ProgramSound> {
  const channels = Math.min(2, await soundChannelsOf(path));
  return {
    sampleRateHz: soundRateHz,
    channels,
    blocks: openFileSound(path, {
      sampleRateHz: soundRateHz,
      channels: Array.from({ length: channels }, (_, c) => c + 1),
    }),
  };
}

/** Encodes the clips whose parts are not there, each once. */
async function makeParts(
  parts: readonly string[],
  clips: readonly ProgramClip[],
  format: ProgramSize,
  { onFrame, ...options }: ProgramOptions,
): Promise<void> {
  const bounds = clipBounds(clips, format.frameRate);
  const framesOf = (i: number): number => bounds[i + 1]! - bounds[i]!;
  const missing: number[] = [];
  for (const [i, part] of parts.entries())
    if (parts.indexOf(part) === i && (await framesOfPart(part)) !== framesOf(i)) missing.push(i);
  const sources = new ProgramSources(missing.map((i) => clips[i]!));
  let done = bounds.at(-1)! - missing.reduce((sum, i) => sum + framesOf(i), 0);
  try {
    if (done > 0) onFrame?.(done);
    for (const i of missing) {
      failWhenCancelled(options.signal);
      await encodeProgram(parts[i]!, [clips[i]!], format, null, {
        ...options,
        indexFirst: false,
        sources,
        onFrame: (n) => onFrame?.(done + n),
      });
      done += framesOf(i);
    }
  } finally {
    await sources.close();
  }
}
