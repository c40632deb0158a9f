import { openFileSound, soundChannelsOf } from "./media-reader.ts";
import { encodeProgram, type ProgramOptions } from "./program.ts";
import type { ProgramClip, ProgramSize } from "./program-picture.ts";

/** AAC is made at the rate that the sound is handed over in. */
const soundRateHz = 48_000;

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
  options: ProgramOptions = {},
): Promise<{ frames: number }> {
  const channels = Math.min(2, await soundChannelsOf(soundPath));
  const sound = {
    sampleRateHz: soundRateHz,
    channels,
    blocks: openFileSound(soundPath, {
      sampleRateHz: soundRateHz,
      channels: Array.from({ length: channels }, (_, c) => c + 1),
    }),
  };
  return encodeProgram(out, clips, format, sound, options);
}
