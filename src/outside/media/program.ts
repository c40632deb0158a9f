import type { SoundBlock } from "#documents/media-reader";
import { ExplainedError } from "#errors/explained-error";
import { madeAhead } from "./frame-line.ts";
import { MovieFile } from "./movie-file.ts";
import { clipBounds, type ProgramClip, type ProgramSize, programFrames } from "./program-picture.ts";
import { SampleQueue } from "./sample-queue.ts";

export interface ProgramOptions {
  /** Constant rate factor of H.264. Default 20. */
  readonly crf?: number;
  /** Speed of the encoder. Default `veryfast`. */
  readonly preset?: string;
  /** Frames from key frame to key frame at most. Default two seconds. */
  readonly gopFrames?: number;
  /** Called with the number of frames done so far. */
  readonly onFrame?: (n: number) => void;
  readonly signal?: AbortSignal;
}

/** Sound that lies under a program from its time 0. */
export interface ProgramSound {
  readonly sampleRateHz: number;
  readonly channels: number;
  readonly blocks: AsyncIterable<SoundBlock>;
}

/** So much sound is written beyond the picture, at least. Seconds. */
const soundAheadSeconds = 0.5;

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
  const seconds = (frameCount * size.frameRate.den) / size.frameRate.num;
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
    ...(sound
      ? {
          sound: {
            codec: "aac",
            sampleRateHz: sound.sampleRateHz,
            channels: sound.channels,
            bitRate: sound.channels === 1 ? 128_000 : 192_000,
          },
        }
      : {}),
    indexFirst: true,
  });
  const blocks = sound?.blocks[Symbol.asyncIterator]();
  const queue = new SampleQueue(sound?.channels ?? 0);
  const rate = sound?.sampleRateHz ?? 1;
  const total = sound ? Math.round(seconds * rate) : 0;
  let soundDone = 0;
  const soundUpTo = async (target: number): Promise<void> => {
    while (blocks && soundDone < Math.min(target, total)) {
      if (queue.length === 0) {
        const { done, value } = await blocks.next();
        if (done) queue.pushSilence(total - soundDone);
        else queue.push(value.channels);
      }
      const count = Math.min(queue.length, total - soundDone);
      await file.sound(queue.take(count));
      soundDone += count;
    }
  };
  let frames = 0;
  try {
    for await (const frame of madeAhead(programFrames(clips, size))) {
      failWhenCancelled(options.signal);
      await soundUpTo(((frames * size.frameRate.den) / size.frameRate.num + soundAheadSeconds) * rate);
      await file.picture(frame);
      frames++;
      options.onFrame?.(frames);
    }
    await soundUpTo(total);
    await file.close();
    return { frames };
  } catch (cause) {
    await file.abandon();
    throw cause;
  } finally {
    await blocks?.return?.();
  }
}

function failWhenCancelled(signal: AbortSignal | undefined): void {
  if (!signal?.aborted) return;
  if (signal.reason instanceof ExplainedError) throw signal.reason;
  throw new ExplainedError("CANCELLED", {
    happened: "The work was cancelled.",
    means: "The unfinished film was removed; everything finished before is kept.",
    doNext: "Give the same command again when you want it made.",
  });
}
