import type { MeasureContext } from "#documents/chapter";
import type { MediaReader, SoundBlock } from "#documents/media-reader";
import type { Recording } from "#documents/recording";
import { FilterChain } from "#science/filters/biquad";
import { truePeakDbtp } from "#science/sound-level/true-peak";

const rate = 48_000;

/** A recording of sound alone, 48 kHz. */
export function soundRecording(
  name: string,
  channels: readonly Float32Array[],
  more: Partial<Recording> & { codec?: string } = {},
): Recording {
  const { codec, ...rest } = more;
  const durationSeconds = channels[0]!.length / rate;
  return {
    hash: `xxh128:${name}`,
    path: name,
    device: "A",
    kind: "camera",
    roles: [],
    probe: {
      container: "mov,mp4,m4a,3gp,3g2,mj2",
      bytes: 1,
      durationSeconds,
      picture: null,
      sound: {
        streamIndex: 0,
        codec: codec ?? "pcm_s24le",
        sampleRateHz: rate,
        channels: channels.length,
        startSeconds: 0,
        durationSeconds,
      },
      timecode: null,
      timeReferenceSamples: null,
      createdAt: null,
    },
    ...rest,
  };
}

/**
 * Gated loudness of one channel by ITU-R BS.1770-5 Annex 1 (digits of Tables 1 and 2): the tests' own reading, so
 * that no chapter's test needs a media library.
 */
export function loudnessOf(samples: Float32Array): number {
  const weighted = new FilterChain([
    {
      b0: 1.53512485958697,
      b1: -2.69169618940638,
      b2: 1.19839281085285,
      a1: -1.69065929318241,
      a2: 0.73248077421585,
    },
    { b0: 1, b1: -2, b2: 1, a1: -1.99004745483398, a2: 0.99007225036621 },
  ]).run(samples.slice());
  const powers: number[] = [];
  for (let at = 0; at + 0.4 * rate <= weighted.length; at += 0.1 * rate) {
    powers.push(weighted.subarray(at, at + 0.4 * rate).reduce((sum, x) => sum + x * x, 0) / (0.4 * rate));
  }
  const level = (power: number): number => -0.691 + 10 * Math.log10(power);
  const mean = (list: number[]): number => list.reduce((sum, x) => sum + x, 0) / list.length;
  const loud = powers.filter((p) => level(p) > -70);
  if (loud.length === 0) return -70;
  const gate = level(mean(loud)) - 10;
  return level(mean(loud.filter((p) => level(p) > gate)));
}

/** A context over arrays: files it "writes" are kept as samples under their names. */
export function soundContext(sounds: ReadonlyMap<string, readonly Float32Array[]>): {
  context: MeasureContext;
  written: Map<string, Float32Array>;
} {
  const written = new Map<string, Float32Array>();
  const media: Pick<MediaReader, "sound"> = {
    async *sound(recording, wish): AsyncGenerator<SoundBlock> {
      if (wish.sampleRateHz !== rate) throw new Error("this reader gives 48 kHz");
      const all = sounds.get(recording.hash)!;
      const chosen = Array.isArray(wish.channels) ? wish.channels.map((c: number) => all[c - 1]!) : all;
      const end = Math.min(all[0]!.length, Math.round((wish.endSeconds ?? Number.POSITIVE_INFINITY) * rate));
      const size = wish.blockSamples ?? 65_536;
      for (let at = Math.round((wish.startSeconds ?? 0) * rate); at < end; at += size) {
        yield { firstSample: at, channels: chosen.map((c) => c.slice(at, Math.min(end, at + size))) };
      }
    },
  };
  const context: Partial<MeasureContext> = {
    media: media as MediaReader,
    signal: new AbortController().signal,
    progress() {},
    async writeSound(name, _format, blocks) {
      const parts: Float32Array[] = [];
      for await (const block of blocks) parts.push(block.channels[0]!);
      const whole = new Float32Array(parts.reduce((sum, p) => sum + p.length, 0));
      let at = 0;
      for (const part of parts) {
        whole.set(part, at);
        at += part.length;
      }
      written.set(name, whole);
      return name;
    },
    async *madeSound(path): AsyncGenerator<SoundBlock> {
      const samples = written.get(path)!;
      for (let at = 0; at < samples.length; at += 50_000)
        yield { firstSample: at, channels: [samples.slice(at, at + 50_000)] };
    },
    async loudness(path) {
      const samples = written.get(path)!;
      return { integrated: loudnessOf(samples), truePeak: truePeakDbtp(samples), range: 0 };
    },
  };
  return { context: context as MeasureContext, written };
}
