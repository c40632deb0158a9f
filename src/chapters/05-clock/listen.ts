import type { MediaReader, SoundBlock } from "#documents/media-reader";
import type { Recording } from "#documents/recording";
import type { FftMaker } from "#science/signal/fft";
import { CompactSound, type Part } from "./compact-sound.ts";
import { listeningRateHz } from "./constants.ts";
import type { Listened } from "./listened.ts";
import type { Microphone } from "./microphone.ts";
import { OnsetListener } from "./onsets.ts";
import { RereadSound } from "./reread-sound.ts";
import { LaidSound, type SoundAside } from "./sound-aside.ts";

/** Samples of a block, at most. */
export const blockSamples = 65_536;

/** One channel of a recording, to be listened to. */
export interface SoundSource {
  readonly recording: Recording;
  readonly microphone: Microphone;
  readonly media: MediaReader;
  /** Told the seconds heard so far; may throw to stop. */
  readonly heard: (seconds: number) => void;
}

/** What listening leaves: large arrays on memory that threads share. */
export interface Heard {
  readonly samples: number;
  readonly onsets: Listened["onsets"];
  /** Null where it was not kept, or laid aside. */
  readonly kept: CompactSound | null;
}

/**
 * Listens from end to end.
 *
 * @param next - The next samples at the listening rate, of any number; null after the last. Asked for them while those
 *   before are worked on, once at a time: the ones before those may be overwritten.
 * @param keep - Whether the sound itself is kept (two bytes a sample); or where its minutes are laid, one after another,
 *   each to be overwritten afterwards.
 */
export async function hear(
  makeFft: FftMaker,
  next: () => Promise<Float32Array | null>,
  keep: boolean | ((part: Part) => Promise<void>),
): Promise<Heard> {
  const kept = keep ? new CompactSound() : null;
  const lay = async () => {
    if (!kept || typeof keep === "boolean") return;
    for (const part of kept.takeFull()) {
      await keep(part);
      kept.giveBack(part);
    }
  };
  const onsets = new OnsetListener(makeFft);
  let samples = 0;
  for (let coming = next(); ; ) {
    const sound = await coming;
    if (!sound) break;
    coming = next();
    // Its failure is met at the next await.
    coming.catch(() => {});
    kept?.append(sound);
    const laying = lay();
    onsets.append(sound);
    await laying;
    samples += sound.length;
  }
  kept?.finish();
  await lay();
  return { samples, onsets: onsets.finish(), kept: keep === true ? kept : null };
}

/** A source's samples, block by block, for {@link hear}. */
export function blocksOf({ recording, microphone, media, heard }: SoundSource): {
  next(): Promise<Float32Array | null>;
  /** Lets go of the file; to be called in the end, whatever happened. */
  close(): Promise<void>;
} {
  const wish = { sampleRateHz: listeningRateHz, channels: [microphone.channel], blockSamples };
  const blocks = media.sound(recording, wish)[Symbol.asyncIterator]();
  let samples = 0;
  return {
    async next() {
      heard(samples / listeningRateHz);
      const { done, value } = await blocks.next();
      if (done) return null;
      samples += value.channels[0]!.length;
      return value.channels[0]!;
    },
    close: async () => void (await blocks.return?.()),
  };
}

const rereadChunkSamples = 8 * listeningRateHz;

/** Where listening leaves the sound: in memory, aside, or nowhere, to be read from the recording again. */
export type KeepWhere = boolean | SoundAside;

/** What was heard, with the sound that is not in memory read from where it is. */
export function listenedOf(
  { samples, onsets, kept }: Heard,
  { recording, microphone, media }: SoundSource,
  keep: KeepWhere,
): Listened {
  const again = async (k: number, out: Float32Array): Promise<void> => {
    out.fill(0);
    const first = k * rereadChunkSamples;
    const wish = {
      sampleRateHz: listeningRateHz,
      channels: [microphone.channel],
      startSeconds: first / listeningRateHz,
      endSeconds: (first + rereadChunkSamples) / listeningRateHz,
    };
    for await (const block of media.sound(recording, wish)) place(out, block, first);
  };
  const sound =
    typeof keep === "boolean"
      ? new RereadSound(samples, rereadChunkSamples, again)
      : new LaidSound(samples, keep.laid, keep.read);
  return { sound: kept ?? sound, onsets, seconds: samples / listeningRateHz };
}

function place(sound: Float32Array, block: SoundBlock, first: number): void {
  const from = block.firstSample - first;
  const values = block.channels[0]!;
  const to = Math.max(0, from);
  const skip = to - from;
  if (to < sound.length && skip < values.length)
    sound.set(values.subarray(skip, skip + sound.length - to), to);
}
