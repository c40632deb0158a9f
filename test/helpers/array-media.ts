import type { MeasureContext } from "#documents/chapter";
import type { MediaReader, SmallPicture, SoundBlock, SoundWish } from "#documents/media-reader";
import type { ChannelRole, Recording } from "#documents/recording";

/** A recording that exists in memory alone: its channels at one rate. */
export interface HeldRecording {
  readonly recording: Recording;
  readonly sampleRateHz: number;
  readonly channels: readonly Float32Array[];
  readonly pictures: readonly SmallPicture[];
}

/** Describes arrays as a recording; a camera unless the device is called `sound...`. */
export function heldRecording(
  device: string,
  path: string,
  channels: readonly Float32Array[],
  sampleRateHz: number,
  more: {
    readonly roles?: readonly ChannelRole[];
    readonly probe?: Partial<Recording["probe"]>;
    readonly pictures?: readonly SmallPicture[];
  } = {},
): HeldRecording {
  const seconds = (channels[0]?.length ?? 0) / sampleRateHz;
  const kind = device.startsWith("sound") ? "sound" : "camera";
  const recording: Recording = {
    hash: `xxh128:${path}`,
    path,
    device,
    kind,
    roles: (more.roles ?? []).map((role, i) => ({ channel: i + 1, role })),
    probe: {
      container: "array",
      bytes: 0,
      durationSeconds: seconds,
      picture:
        kind === "camera"
          ? {
              streamIndex: 0,
              codec: "array",
              pixelFormat: "rgb24",
              bitDepth: 8,
              width: 1280,
              height: 720,
              frameRate: { num: 25, den: 1 },
              isVariableRate: false,
              startSeconds: 0,
              durationSeconds: seconds,
              frames: Math.round(seconds * 25),
              colour: { primaries: 1, transfer: 1, matrix: 1, fullRange: false },
              rotationDegrees: 0,
              pixelAspect: { num: 1, den: 1 },
            }
          : null,
      sound:
        channels.length > 0
          ? {
              streamIndex: 1,
              codec: "array",
              sampleRateHz,
              channels: channels.length,
              startSeconds: 0,
              durationSeconds: seconds,
            }
          : null,
      timecode: null,
      timeReferenceSamples: null,
      createdAt: null,
      ...more.probe,
    },
  };
  return { recording, sampleRateHz, channels, pictures: more.pictures ?? [] };
}

/** Reads sound from arrays, at their own rate only, and the pictures that they were given. */
export function arrayMedia(held: readonly HeldRecording[]): MediaReader & { readonly reads: SoundWish[] } {
  const reads: SoundWish[] = [];
  const refuse = () => {
    throw new TypeError("no such pictures in arrays");
  };
  return {
    reads,
    async *sound(recording, wish): AsyncIterable<SoundBlock> {
      reads.push(wish);
      const found = held.find((h) => h.recording.hash === recording.hash);
      if (!found || found.sampleRateHz !== wish.sampleRateHz)
        throw new TypeError(`no ${recording.path} at this rate`);
      const { channels } = found;
      const asked =
        wish.channels === "mix"
          ? [mean(channels)]
          : wish.channels === undefined || wish.channels === "all"
            ? channels
            : wish.channels.map((c) => channels[c - 1]!);
      const length = channels[0]!.length;
      const first = Math.max(0, Math.round((wish.startSeconds ?? 0) * wish.sampleRateHz));
      const end = Math.min(
        length,
        Math.round((wish.endSeconds ?? Number.POSITIVE_INFINITY) * wish.sampleRateHz),
      );
      const step = wish.blockSamples ?? 65_536;
      for (let at = first; at < end; at += step)
        yield { firstSample: at, channels: asked.map((c) => c.slice(at, Math.min(end, at + step))) };
    },
    keyPictures: refuse,
    async *pictures(recording, { startSeconds, endSeconds }): AsyncIterable<SmallPicture> {
      const found = held.find((h) => h.recording.hash === recording.hash);
      for (const picture of found?.pictures ?? [])
        if (picture.atSeconds >= startSeconds && picture.atSeconds < endSeconds) yield picture;
    },
    framesAt: refuse,
  };
}

/** A context that hears arrays, and does nothing else. */
export function listeningContext(
  media: MediaReader,
  signal: AbortSignal = new AbortController().signal,
): MeasureContext {
  const refuse = () => {
    throw new TypeError("this context only listens");
  };
  return {
    media,
    signal,
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

function mean(channels: readonly Float32Array[]): Float32Array {
  const out = new Float32Array(channels[0]!.length);
  for (const c of channels) for (let i = 0; i < out.length; i++) out[i]! += c[i]! / channels.length;
  return out;
}
