import type { MediaReader } from "#documents/media-reader";
import type { ChannelRole, Recording } from "#documents/recording";
import { listeningRateHz, silentBelowDb } from "./constants.ts";

/** The channel that a recording is placed by. */
export interface Microphone {
  /** Counts from 1. */
  readonly channel: number;
  /** What a person said it is. */
  readonly role: ChannelRole | null;
}

const looks = [0.15, 0.5, 0.85];
const lookSeconds = 10;

/**
 * The first channel that carries a microphone: not one told to be timecode or silent, not one without signal, not
 * a steady square wave or tone.
 *
 * @returns null where no channel carries one.
 */
export async function firstMicrophone(recording: Recording, media: MediaReader): Promise<Microphone | null> {
  const sound = recording.probe.sound;
  if (!sound) return null;
  const roleOf = (channel: number) => recording.roles.find((r) => r.channel === channel)?.role ?? null;
  const isCandidate = (channel: number) => !["timecode", "silent"].includes(roleOf(channel) ?? "");
  const channels = Array.from({ length: sound.channels }, (_, i) => i + 1).filter(isCandidate);
  const hears = new Set<number>();
  const seconds = recording.readableSeconds ?? recording.probe.durationSeconds;
  for (const look of seconds <= 3 * lookSeconds ? [0] : looks) {
    const startSeconds = look === 0 ? 0 : look * seconds - lookSeconds / 2;
    const endSeconds = look === 0 ? seconds : startSeconds + lookSeconds;
    const seconds1 = new Map(channels.map((channel) => [channel, new SecondsOf()]));
    const wish = { sampleRateHz: listeningRateHz, channels, startSeconds, endSeconds };
    for await (const block of media.sound(recording, wish))
      channels.forEach((channel, i) => {
        seconds1.get(channel)!.append(block.channels[i]!);
      });
    for (const [channel, stretch] of seconds1) if (stretch.carriesMicrophone()) hears.add(channel);
  }
  const channel = channels.find((c) => hears.has(c));
  return channel === undefined ? null : { channel, role: roleOf(channel) };
}

/** Level, crest and steadiness of a channel by twentieths of a second. */
class SecondsOf {
  readonly #levelsDb: number[] = [];
  #sum = 0;
  #count = 0;
  #peak = 0;
  #steadyCrests = 0;

  append(block: Float32Array): void {
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

  carriesMicrophone(): boolean {
    const n = this.#levelsDb.length;
    if (n === 0) return false;
    if (Math.max(...this.#levelsDb) < silentBelowDb) return false;
    return this.#steadyCrests < 0.8 * n;
  }
}
