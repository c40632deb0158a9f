import type { SoundBlock } from "#documents/media-reader";
import type { MovieFile } from "./movie-file.ts";
import type { MovieFormat } from "./movie-format.ts";
import { SampleQueue } from "./sample-queue.ts";

/** Sound that lies under a program from its time 0. */
export interface ProgramSound {
  readonly sampleRateHz: number;
  readonly channels: number;
  readonly blocks: AsyncIterable<SoundBlock>;
}

/** So much sound is written beyond the picture, at least. Seconds. */
const soundAheadSeconds = 0.5;

/** How the sound of a program is kept: AAC. Nothing where there is none. */
export function soundTrackOf(sound: ProgramSound | null): Pick<MovieFormat, "sound"> {
  if (!sound) return {};
  return {
    sound: {
      codec: "aac",
      sampleRateHz: sound.sampleRateHz,
      channels: sound.channels,
      bitRate: sound.channels === 1 ? 128_000 : 192_000,
    },
  };
}

/** Lays the sound under the pictures of a movie, a little ahead of them; as long as the pictures, in silence at the end. */
export class SoundBeneath {
  readonly #file: MovieFile;
  readonly #blocks: AsyncIterator<SoundBlock> | undefined;
  readonly #queue: SampleQueue;
  readonly #rate: number;
  readonly #total: number;
  #done = 0;

  /** @param seconds - How long the pictures are. */
  constructor(file: MovieFile, sound: ProgramSound | null, seconds: number) {
    this.#file = file;
    this.#blocks = sound?.blocks[Symbol.asyncIterator]();
    this.#queue = new SampleQueue(sound?.channels ?? 0);
    this.#rate = sound?.sampleRateHz ?? 1;
    this.#total = sound ? Math.round(seconds * this.#rate) : 0;
  }

  /** Writes what belongs before a picture at this program time, and a little more. */
  upTo(seconds: number): Promise<void> {
    return this.#write((seconds + soundAheadSeconds) * this.#rate);
  }

  /** Writes the rest. */
  finish(): Promise<void> {
    return this.#write(this.#total);
  }

  /** Lets go of the sound. */
  async close(): Promise<void> {
    await this.#blocks?.return?.();
  }

  async #write(target: number): Promise<void> {
    while (this.#blocks && this.#done < Math.min(target, this.#total)) {
      if (this.#queue.length === 0) {
        const { done, value } = await this.#blocks.next();
        if (done) this.#queue.pushSilence(this.#total - this.#done);
        else this.#queue.push(value.channels);
      }
      const count = Math.min(this.#queue.length, this.#total - this.#done);
      await this.#file.sound(this.#queue.take(count));
      this.#done += count;
    }
  }
}
