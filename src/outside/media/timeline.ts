import * as av from "node-av/constants";
import { type CodecContext, Frame, type Stream } from "node-av/lib";
import type { FrameFacts } from "./frame-facts.ts";
import { frameFacts } from "./frame-facts.ts";
import { explainNothingDecodes, explainReading } from "./media-errors.ts";
import { newPacket, openDecoder, openMedia, readOnly, tickSeconds } from "./opened-media.ts";

/** Where a file's streams begin, on the container's own clock, found by decoding the first of each. */
export interface Timeline {
  /** Local time 0: the earliest presented sample or frame. Seconds on the container's clock. */
  readonly zeroSeconds: number;
  readonly picture: { readonly startSeconds: number; readonly facts: FrameFacts } | null;
  readonly sound: {
    readonly startSeconds: number;
    readonly sampleRateHz: number;
    /**
     * The first sample of the second decoded frame: where the codec's own frames lie on the clock. The first may
     * have been shortened by priming; it ends where the second begins unless their stamps say otherwise.
     */
    readonly gridSeconds: number;
    /** Samples of a whole codec frame. */
    readonly frameSamples: number;
  } | null;
}

/**
 * A time stamp may be off by this much before it counts as a hole or an overlap. Matroska rounds to 1 ms and
 * phones stamp their sound by a clock that wanders a little; the shortest frame that can be lost is longer
 * (AAC at 96 kHz: 10.7 ms). Seconds.
 */
export const jitterSeconds = 0.005;

function gridOf(start: { readonly end: number; readonly second: number | null }): number {
  if (start.second === null || Math.abs(start.second - start.end) <= jitterSeconds) return start.end;
  return start.second;
}

/** Packets looked at before a stream counts as undecodable. */
const mostPackets = 3000;

/**
 * Decodes the first frame of each stream. What the container says about starts is a promise; priming, edit
 * lists and pre-roll are known for certain only from what comes out.
 *
 * @throws ExplainedError as {@link openMedia}, and `MEDIA_DECODE_FAILED` where nothing at all decodes.
 */
export async function readTimeline(path: string): Promise<Timeline> {
  const media = await openMedia(path);
  const packet = newPacket();
  const frame = new Frame();
  frame.alloc();
  const decoders = new Map<number, CodecContext>();
  let picture: Timeline["picture"] = null;
  const starts: { first: number; end: number; second: number | null; rate: number; frameSamples: number }[] =
    [];
  const secondsOf = (stream: Stream): number => Number(frame.bestEffortTimestamp) * tickSeconds(stream);
  try {
    const wanted = [...(media.picture ? [media.picture] : []), ...media.sound];
    readOnly(media, wanted);
    for (const stream of wanted)
      decoders.set(
        stream.index,
        openDecoder(stream, (c) => (c.threadCount = 1)),
      );
    const isDone = (stream: Stream): boolean => {
      if (stream.index === media.picture?.index) return picture !== null;
      return starts[media.sound.findIndex((one) => one.index === stream.index)]?.second != null;
    };
    const take = (stream: Stream, context: CodecContext): void => {
      while (context.receiveFrameSync(frame) >= 0) {
        if (frame.bestEffortTimestamp === av.AV_NOPTS_VALUE) continue;
        if (stream.index === media.picture?.index) {
          picture ??= { startSeconds: secondsOf(stream), facts: frameFacts(frame, stream) };
        } else {
          const s = media.sound.findIndex((one) => one.index === stream.index);
          const known = starts[s];
          if (known) {
            known.second ??= secondsOf(stream);
            known.frameSamples = Math.max(known.frameSamples, frame.nbSamples);
          } else {
            const at = secondsOf(stream);
            starts[s] = {
              first: at,
              end: at + frame.nbSamples / frame.sampleRate,
              second: null,
              rate: frame.sampleRate,
              frameSamples: frame.nbSamples,
            };
          }
        }
        frame.unref();
      }
    };
    for (let n = 0; n < mostPackets && !wanted.every(isDone); n++) {
      const code = await media.limit.guard(media.container.readFrame(packet));
      if (code === av.AVERROR_EOF) break;
      if (code < 0) continue;
      const stream = wanted.find((one) => one.index === packet.streamIndex);
      const context = stream && decoders.get(stream.index);
      if (stream && context && !isDone(stream)) {
        context.sendPacketSync(packet);
        take(stream, context);
      }
      packet.unref();
    }
    for (const stream of wanted) {
      const context = decoders.get(stream.index)!;
      if (isDone(stream)) continue;
      context.sendPacketSync(null);
      take(stream, context);
    }
    const known = starts.filter(Boolean);
    const first = known[0];
    if (!picture && !first) throw explainNothingDecodes(path);
    const soundStart = Math.min(...known.map((start) => start.first));
    const zeroSeconds = Math.min(soundStart, (picture as Timeline["picture"])?.startSeconds ?? Infinity);
    return {
      zeroSeconds,
      picture,
      sound: first
        ? {
            startSeconds: soundStart,
            sampleRateHz: first.rate,
            gridSeconds: gridOf(first),
            frameSamples: first.frameSamples,
          }
        : null,
    };
  } catch (cause) {
    throw explainReading(path, cause);
  } finally {
    if (!media.limit.isStuck) {
      for (const context of decoders.values()) context.freeContext();
      packet.free();
      frame.free();
    }
    await media.close();
  }
}
