import type { DeepPicture, MediaReader, SmallPicture, SoundBlock } from "#documents/media-reader";
import type { Recording } from "#documents/recording";
import { readFramesAt, readPictures } from "./exact-pictures.ts";
import { readKeyPictures } from "./key-pictures.ts";
import { explained } from "./media-errors.ts";
import { openMedia } from "./opened-media.ts";
import { type FileSoundWish, readSound } from "./sound-reader.ts";
import { channelCount } from "./sound-source.ts";
import { readTimeline, type Timeline } from "./timeline.ts";

/** How a reader may be told of damage that it read past. */
export interface MediaReaderOptions {
  /** Called at the end of a read in which packets could not be decoded. */
  readonly onDamage?: (recording: Recording, undecodablePackets: number) => void;
}

/**
 * Reads recordings for the chapters. Damage inside a file is no error: sound comes as silence there, pictures
 * are left out, and reading ends where the file does.
 *
 * @param locate - Where a recording lies on this machine.
 */
export function openMediaReader(
  locate: (recording: Recording) => string,
  options: MediaReaderOptions = {},
): MediaReader {
  const timelines = new Map<string, Promise<Timeline>>();
  const timelineOf = (path: string): Promise<Timeline> => {
    const known = timelines.get(path);
    if (known !== undefined) return known;
    const read = readTimeline(path);
    timelines.set(path, read);
    // A drive that comes back may answer better next time.
    read.catch(() => timelines.delete(path));
    return read;
  };
  const tell = (recording: Recording, undecodable: number): void => {
    if (undecodable > 0) options.onDamage?.(recording, undecodable);
  };

  return {
    async *sound(recording, wish): AsyncGenerator<SoundBlock> {
      const path = locate(recording);
      const counts = { undecodable: 0 };
      const timeline = await timelineOf(path);
      yield* explained(path, readSound(path, timeline, recording.probe.sound?.channels ?? 0, wish, counts));
      tell(recording, counts.undecodable);
    },

    async *keyPictures(recording, wish): AsyncGenerator<SmallPicture> {
      const path = locate(recording);
      yield* explained(path, readKeyPictures(path, await timelineOf(path), rotationOf(recording), wish));
    },

    async *pictures(recording, wish): AsyncGenerator<SmallPicture> {
      const path = locate(recording);
      const counts = { undecodable: 0 };
      yield* explained(path, readPictures(path, await timelineOf(path), rotationOf(recording), wish, counts));
      tell(recording, counts.undecodable);
    },

    async *framesAt(recording, timesSeconds): AsyncGenerator<DeepPicture> {
      const path = locate(recording);
      const counts = { undecodable: 0 };
      yield* explained(
        path,
        readFramesAt(path, await timelineOf(path), rotationOf(recording), timesSeconds, counts),
      );
      tell(recording, counts.undecodable);
    },
  };
}

function rotationOf(recording: Recording): number {
  return recording.probe.picture?.rotationDegrees ?? 0;
}

/**
 * Sound of any file in blocks, at its own rate unless another is wished; for files that are no recordings of
 * the sitting.
 *
 * @throws ExplainedError as the reader's own.
 */
export async function* openFileSound(path: string, wish: FileSoundWish = {}): AsyncGenerator<SoundBlock> {
  const timeline = await readTimeline(path);
  yield* explained(path, readSound(path, timeline, await soundChannelsOf(path), wish));
}

/**
 * How many sound channels a file has.
 *
 * @throws ExplainedError as the reader's own.
 */
export async function soundChannelsOf(path: string): Promise<number> {
  const media = await openMedia(path);
  const channels = channelCount(media);
  await media.close();
  return channels;
}
