import type { MediaReader } from "#documents/media-reader";
import type { ChannelRole, Recording } from "#documents/recording";
import { LtcDecoder } from "#formats/ltc/ltc-decoder";
import { listeningRateHz, silentBelowDb } from "./constants.ts";

/** The channel that a recording is placed by. */
export interface Microphone {
  /** Counts from 1. */
  readonly channel: number;
  /** What a person said it is. */
  readonly role: ChannelRole | null;
}

/** What the channels of a recording carry. */
export interface Channels {
  /** The first that carries a microphone: null where none does. */
  readonly microphone: Microphone | null;
  /** The first that carries linear timecode, counted from 1; whether or not a person said so. */
  readonly timecodeChannel: number | null;
}

const looks = [0.15, 0.5, 0.85];
const lookSeconds = 10;
/** Words of timecode a second that make a channel one of timecode: less than half of the slowest rate. */
const leastWordsPerSecond = 10;

/**
 * Looks at a recording's channels: which is the first microphone (not one told to be timecode or silent, not one
 * without signal, not a steady square wave or tone), and which carries timecode.
 */
export async function channelsOf(recording: Recording, media: MediaReader): Promise<Channels> {
  const sound = recording.probe.sound;
  if (!sound) return { microphone: null, timecodeChannel: null };
  const roleOf = (channel: number) => recording.roles.find((r) => r.channel === channel)?.role ?? null;
  const channels = Array.from({ length: sound.channels }, (_, i) => i + 1).filter(
    (channel) => roleOf(channel) !== "silent",
  );
  if (channels.length === 0) return { microphone: null, timecodeChannel: null };
  const hears = new Set<number>();
  const counts = new Set<number>();
  const seconds = recording.readableSeconds ?? recording.probe.durationSeconds;
  for (const look of seconds <= 3 * lookSeconds ? [0] : looks) {
    const startSeconds = look === 0 ? 0 : look * seconds - lookSeconds / 2;
    const endSeconds = look === 0 ? seconds : startSeconds + lookSeconds;
    const stretches = channels.map(() => new Stretch());
    const wish = { sampleRateHz: listeningRateHz, channels, startSeconds, endSeconds };
    for await (const block of media.sound(recording, wish))
      stretches.forEach((stretch, i) => {
        stretch.append(block.channels[i]!);
      });
    stretches.forEach((stretch, i) => {
      if (stretch.carriesTimecode()) counts.add(channels[i]!);
      else if (stretch.carriesMicrophone()) hears.add(channels[i]!);
    });
  }
  const channel = channels.find((c) => hears.has(c) && !counts.has(c) && roleOf(c) !== "timecode");
  return {
    microphone: channel === undefined ? null : { channel, role: roleOf(channel) },
    timecodeChannel: channels.find((c) => counts.has(c)) ?? null,
  };
}

/** Level, crest and steadiness of a stretch of one channel by twentieths of a second, and words of timecode in it. */
class Stretch {
  readonly #levelsDb: number[] = [];
  #words = 0;
  readonly #decoder = new LtcDecoder(listeningRateHz, () => this.#words++);
  #sum = 0;
  #count = 0;
  #peak = 0;
  #steadyCrests = 0;

  append(block: Float32Array): void {
    this.#decoder.append(block);
    const part = listeningRateHz / 20;
    for (let i = 0; i < block.length; i++) {
      const v = block[i]!;
      this.#sum += v * v;
      this.#peak = Math.max(this.#peak, Math.abs(v));
      if (++this.#count === part) this.#close();
    }
  }

  #close(): void {
    const rms = Math.sqrt(this.#sum / this.#count);
    this.#levelsDb.push(20 * Math.log10(rms + 1e-9));
    // A sine has a crest of 1.41, a square wave 1 to 1.4 after filtering; speech 3 and more.
    if (this.#peak < 1.9 * rms) this.#steadyCrests++;
    [this.#sum, this.#count, this.#peak] = [0, 0, 0];
  }

  carriesTimecode(): boolean {
    return this.#words >= Math.max(3, (leastWordsPerSecond * this.#levelsDb.length) / 20);
  }

  carriesMicrophone(): boolean {
    const n = this.#levelsDb.length;
    if (n === 0) return false;
    if (Math.max(...this.#levelsDb) < silentBelowDb) return false;
    return this.#steadyCrests < 0.8 * n;
  }
}
