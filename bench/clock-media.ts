import { listeningRateHz } from "#clock/constants";
import type { MeasureContext } from "#documents/chapter";
import type { MediaReader, SoundBlock } from "#documents/media-reader";
import type { ChannelRole, Recording } from "#documents/recording";

/** Gives the samples [first, end) of one recording's only channel. */
export type Samples = (first: number, end: number) => Float32Array;

/** A recording that is made of numbers: no codec's time is measured with it. */
export interface BenchRecording {
  readonly recording: Recording;
  readonly samples: Samples;
}

export function benchRecording(
  device: string,
  path: string,
  seconds: number,
  samples: Samples,
  role: ChannelRole | null = null,
): BenchRecording {
  const recording: Recording = {
    hash: `xxh128:${path}`,
    path,
    device,
    kind: "sound",
    roles: role ? [{ channel: 1, role }] : [],
    probe: {
      container: "array",
      bytes: 0,
      durationSeconds: seconds,
      picture: null,
      sound: {
        streamIndex: 0,
        codec: "array",
        sampleRateHz: listeningRateHz,
        channels: 1,
        startSeconds: 0,
        durationSeconds: seconds,
      },
      timecode: null,
      timeReferenceSamples: null,
      createdAt: null,
    },
  };
  return { recording, samples };
}

/** A context that hears these recordings and does nothing else. */
export function benchContext(held: readonly BenchRecording[]): MeasureContext {
  const refuse = () => {
    throw new TypeError("this context only listens");
  };
  const media: MediaReader = {
    async *sound(recording, wish): AsyncIterable<SoundBlock> {
      const { samples } = held.find((h) => h.recording.hash === recording.hash)!;
      const length = Math.round(recording.probe.durationSeconds * listeningRateHz);
      const first = Math.max(0, Math.round((wish.startSeconds ?? 0) * listeningRateHz));
      const end = Math.min(
        length,
        Math.round((wish.endSeconds ?? Number.POSITIVE_INFINITY) * listeningRateHz),
      );
      const step = wish.blockSamples ?? 65_536;
      for (let at = first; at < end; at += step)
        yield { firstSample: at, channels: [samples(at, Math.min(end, at + step))] };
    },
    keyPictures: refuse,
    pictures: refuse,
    framesAt: refuse,
  };
  return {
    media,
    signal: new AbortController().signal,
    progress: () => {},
    speech: refuse,
    loudness: refuse,
    writeText: refuse,
    writeBytes: refuse,
    writeSound: refuse,
    writePicture: refuse,
    still: async (name) => name,
    renderCut: refuse,
    madeSound: refuse,
    readMadeText: refuse,
    copyMade: refuse,
  };
}
