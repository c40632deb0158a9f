import { explainMissing } from "./media-errors.ts";
import { openFileSound } from "./media-reader.ts";
import { probeRecording } from "./probe.ts";
import { encodeProgram, type ProgramOptions } from "./program.ts";

/** AAC and every browser know this rate. */
const soundRateHz = 48_000;

/**
 * A small copy of a recording for looking and scrubbing: H.264 and AAC in MP4, a key frame every half second,
 * local time 0 at the file's own time 0, constant frame rate.
 *
 * @param wish - `maxWidth` in pixels; the picture is never enlarged. `luts` as in {@link ProgramClip}.
 * @throws ExplainedError as the reader's and the writer's own, and `MEDIA_NO_PICTURE`.
 */
export async function writeProxy(
  out: string,
  path: string,
  wish: { readonly maxWidth: number; readonly luts?: readonly string[] },
  options: Omit<ProgramOptions, "gopFrames"> = {},
): Promise<{ frames: number }> {
  const probe = await probeRecording(path);
  if (!probe.picture) throw explainMissing(path, "picture");
  const { frameRate, rotationDegrees, pixelAspect } = probe.picture;
  const stretched = (probe.picture.width * pixelAspect.num) / pixelAspect.den;
  const isSideways = rotationDegrees % 180 !== 0;
  const shownWidth = isSideways ? probe.picture.height : stretched;
  const shownHeight = isSideways ? stretched : probe.picture.height;
  const shrink = Math.min(1, wish.maxWidth / shownWidth);
  const even = (value: number): number => Math.max(2, 2 * Math.round(value / 2));
  const channels = Math.min(2, probe.sound?.channels ?? 0);
  const sound =
    channels > 0
      ? {
          sampleRateHz: soundRateHz,
          channels,
          blocks: openFileSound(path, {
            sampleRateHz: soundRateHz,
            channels: Array.from({ length: channels }, (_, c) => c + 1),
          }),
        }
      : null;
  return encodeProgram(
    out,
    [{ path, sourceStart: 0, sourceEnd: probe.durationSeconds, luts: wish.luts ?? [], scale: 1 }],
    { width: even(shownWidth * shrink), height: even(shownHeight * shrink), frameRate },
    sound,
    { crf: 23, ...options, gopFrames: Math.max(1, Math.round(frameRate.num / frameRate.den / 2)) },
  );
}
