import { ExplainedError } from "#errors/explained-error";
import { madeAhead } from "./frame-line.ts";
import { MovieFile } from "./movie-file.ts";
import {
  clipBounds,
  type ProgramClip,
  type ProgramSize,
  ProgramSources,
  programFrames,
} from "./program-picture.ts";
import { type ProgramSound, SoundBeneath, soundTrackOf } from "./sound-beneath.ts";

export interface ProgramOptions {
  /** Constant rate factor of H.264. Default 20. */
  readonly crf?: number;
  /** Speed of the encoder. Default `veryfast`. */
  readonly preset?: string;
  /** Frames from key frame to key frame at most. Default two seconds. */
  readonly gopFrames?: number;
  /** Called with the number of frames done so far. */
  readonly onFrame?: (n: number) => void;
  /** Index before the data. Default true. */
  readonly indexFirst?: boolean;
  /** Recordings that are open already and stay the caller's to close. */
  readonly sources?: ProgramSources;
  readonly signal?: AbortSignal;
}

/**
 * Encodes a program as an MP4 that starts at once in a browser: H.264 4:2:0 tagged BT.709, and AAC. Sound that is
 * shorter than the picture goes on in silence; longer sound is cut.
 */
export async function encodeProgram(
  out: string,
  clips: readonly ProgramClip[],
  size: ProgramSize,
  sound: ProgramSound | null,
  options: ProgramOptions,
): Promise<{ frames: number }> {
  const frameCount = clipBounds(clips, size.frameRate).at(-1)!;
  const frameSeconds = size.frameRate.den / size.frameRate.num;
  failWhenCancelled(options.signal);
  const file = await MovieFile.open(out, {
    video: {
      codec: "h264",
      pixelFormat: "yuv420p",
      ...size,
      colour: { primaries: 1, transfer: 1, matrix: 1, fullRange: false },
      crf: options.crf ?? 20,
      preset: options.preset ?? "veryfast",
      ...(options.gopFrames === undefined ? {} : { gopFrames: options.gopFrames }),
      threads: 0,
    },
    ...soundTrackOf(sound),
    indexFirst: options.indexFirst ?? true,
  });
  const beneath = new SoundBeneath(file, sound, frameCount * frameSeconds);
  const sources = options.sources ?? new ProgramSources(clips);
  let frames = 0;
  try {
    for await (const frame of madeAhead(programFrames(clips, size, sources))) {
      failWhenCancelled(options.signal);
      await beneath.upTo(frames * frameSeconds);
      await file.picture(frame);
      frames++;
      options.onFrame?.(frames);
    }
    await beneath.finish();
    await file.close();
    return { frames };
  } catch (cause) {
    await file.abandon();
    throw cause;
  } finally {
    await beneath.close();
    if (!options.sources) await sources.close();
  }
}

/** @throws ExplainedError `CANCELLED` once the signal was given. */
export function failWhenCancelled(signal: AbortSignal | undefined): void {
  if (!signal?.aborted) return;
  if (signal.reason instanceof ExplainedError) throw signal.reason;
  throw new ExplainedError("CANCELLED", {
    happened: "The work was cancelled.",
    means: "The unfinished film was removed; everything finished before is kept.",
    doNext: "Give the same command again when you want it made.",
  });
}
