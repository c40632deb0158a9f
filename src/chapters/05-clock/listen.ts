import type { MediaReader, SoundBlock } from "#documents/media-reader";
import type { Recording } from "#documents/recording";
import type { FftMaker } from "#science/signal/fft";
import { CompactSound, type SoundStretch } from "./compact-sound.ts";
import { listeningRateHz } from "./constants.ts";
import type { Listened } from "./listened.ts";
import type { Microphone } from "./microphone.ts";
import { OnsetListener } from "./onsets.ts";

/**
 * Listens to one channel once, from end to end.
 *
 * @param keep - Whether the sound itself is kept (two bytes a sample); else it is read again where it is needed.
 * @param heard - Told the seconds heard so far; may throw to stop.
 */
export async function listen(
  makeFft: FftMaker,
  recording: Recording,
  microphone: Microphone,
  media: MediaReader,
  keep: boolean,
  heard: (seconds: number) => void,
): Promise<Listened> {
  const kept = new CompactSound();
  const onsets = new OnsetListener(makeFft);
  let samples = 0;
  const wish = { sampleRateHz: listeningRateHz, channels: [microphone.channel] };
  for await (const block of media.sound(recording, wish)) {
    const sound = block.channels[0]!;
    if (keep) kept.append(sound);
    onsets.append(sound);
    samples += sound.length;
    heard(samples / listeningRateHz);
  }
  kept.finish();
  const sound = keep ? kept : new RereadSound(recording, microphone.channel, media, samples);
  return { sound, onsets: onsets.finish(), seconds: samples / listeningRateHz };
}

const chunkSamples = 8 * listeningRateHz;
const chunksKept = 6;

/** Sound that is read from the file again, in chunks of some seconds, the last few kept. */
class RereadSound implements SoundStretch {
  readonly samples: number;
  readonly #recording: Recording;
  readonly #channel: number;
  readonly #media: MediaReader;
  readonly #chunks = new Map<number, Float32Array>();

  constructor(recording: Recording, channel: number, media: MediaReader, samples: number) {
    this.#recording = recording;
    this.#channel = channel;
    this.#media = media;
    this.samples = samples;
  }

  async read(firstSample: number, out: Float32Array): Promise<void> {
    out.fill(0);
    const end = Math.min(this.samples, firstSample + out.length);
    for (let at = Math.max(0, firstSample); at < end; ) {
      const chunk = Math.floor(at / chunkSamples);
      const sound = await this.#chunk(chunk);
      const inside = at - chunk * chunkSamples;
      const n = Math.min(chunkSamples - inside, end - at);
      out.set(sound.subarray(inside, inside + n), at - firstSample);
      at += n;
    }
  }

  async #chunk(chunk: number): Promise<Float32Array> {
    let sound = this.#chunks.get(chunk);
    if (sound) return sound;
    sound = new Float32Array(chunkSamples);
    const first = chunk * chunkSamples;
    const wish = {
      sampleRateHz: listeningRateHz,
      channels: [this.#channel],
      startSeconds: first / listeningRateHz,
      endSeconds: (first + chunkSamples) / listeningRateHz,
    };
    for await (const block of this.#media.sound(this.#recording, wish)) place(sound, block, first);
    if (this.#chunks.size >= chunksKept) this.#chunks.delete(this.#chunks.keys().next().value!);
    this.#chunks.set(chunk, sound);
    return sound;
  }
}

function place(sound: Float32Array, block: SoundBlock, first: number): void {
  const from = block.firstSample - first;
  const values = block.channels[0]!;
  const to = Math.max(0, from);
  const skip = to - from;
  if (to < sound.length && skip < values.length)
    sound.set(values.subarray(skip, skip + sound.length - to), to);
}
