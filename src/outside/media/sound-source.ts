import * as av from "node-av/constants";
import { type CodecContext, Frame, type Stream } from "node-av/lib";
import type { SoundBlock } from "#documents/media-reader";
import { explainMissing, explainNothingDecodes } from "./media-errors.ts";
import {
  newPacket,
  type OpenedMedia,
  openDecoder,
  openMedia,
  readOnly,
  tickSeconds,
} from "./opened-media.ts";
import { samplesOf } from "./sound-frames.ts";
import { SoundPlacer } from "./sound-placer.ts";
import type { Timeline } from "./timeline.ts";

/** Sound that is decoded before the wanted start, so that codecs which lean on earlier frames have settled. */
const prerollSeconds = 0.5;
/** Reading from the start is cheaper and surer than a seek over less than this. */
const shortestSeekSeconds = 3;
/** Containers whose index leads to an exact sample. Others are read from the start. */
const exactlySeekable = /^(mov|matroska|wav|w64|aiff|caf|mxf)/;
/** Decoding blocks this thread; between so many packets other work gets its turn. */
const packetsInARow = 48;
/** Demuxer errors in a row after which the file ends here. */
const mostReadErrors = 100;

/** What {@link nativeSound} counted on its way. */
export interface DecodeCounts {
  /** Packets that could not be decoded; silence stands in their place. */
  undecodable: number;
}

/** Channels of all the file's sound streams, counted through. */
export function channelCount(media: Pick<OpenedMedia, "sound">): number {
  return media.sound.reduce((sum, stream) => sum + stream.codecpar.channels, 0);
}

/**
 * Decoded sound at its own rate, placed on the local clock: sample n is at local time n / rate. Blocks follow on
 * each other without gaps, from sample `from` to the end of the sound or to `until`.
 *
 * @param timeline - Of this file.
 * @param wanted - Channel indices from 0 over all sound streams; undefined: all.
 * @throws ExplainedError as {@link openMedia}, `MEDIA_NO_SOUND`, `MEDIA_DECODE_FAILED`.
 */
export async function* nativeSound(
  path: string,
  timeline: Timeline,
  range: { readonly from: number; readonly until: number },
  wanted?: readonly number[],
  counts: DecodeCounts = { undecodable: 0 },
): AsyncGenerator<SoundBlock> {
  if (!timeline.sound) throw explainMissing(path, "sound");
  const rate = timeline.sound.sampleRateHz;
  const spanSeconds = Number.isFinite(range.until) ? (range.until - range.from) / rate : 0;
  const media = await openMedia(path, Math.max(0, spanSeconds));
  const packet = newPacket();
  const frame = new Frame();
  frame.alloc();
  const tracks: Track[] = [];
  try {
    if (media.sound.length === 0) throw explainMissing(path, "sound");
    readOnly(media, media.sound);
    const durationSeconds = Number(media.container.duration) / 1e6;
    const lastSample = durationSeconds > 0 ? Math.round((durationSeconds + 10) * rate) : Infinity;
    let before = 0;
    for (const stream of media.sound) {
      const indices = Array.from({ length: stream.codecpar.channels }, (_, c) => before + c);
      const mine = (wanted ?? indices).filter((c) => indices.includes(c));
      const placement = {
        sampleRateHz: rate,
        tickSeconds: tickSeconds(stream),
        gridSeconds: timeline.sound.gridSeconds - timeline.zeroSeconds,
        frameSamples: timeline.sound.frameSamples,
        lastSample,
      };
      tracks.push({
        stream,
        context: openDecoder(stream, (c) => (c.threadCount = 1)),
        channels: mine.map((c) => c - before),
        numbers: mine,
        placer: new SoundPlacer(placement, mine.length, range.from),
      });
      before += indices.length;
    }
    const order = wanted ?? Array.from({ length: before }, (_, c) => c);
    await seekTo(media, timeline, range.from / rate);

    let next = range.from;
    let isEnd = false;
    let readErrors = 0;
    let decoded = 0;
    const decode = (track: Track, isFlush: boolean): void => {
      const sent = track.context.sendPacketSync(isFlush ? null : packet);
      if (sent < 0 && !isFlush) counts.undecodable++;
      while (track.context.receiveFrameSync(frame) >= 0) {
        decoded++;
        const stamp = frame.bestEffortTimestamp;
        const seconds =
          stamp === av.AV_NOPTS_VALUE
            ? null
            : Number(stamp) * tickSeconds(track.stream) - timeline.zeroSeconds;
        if (track.channels.length > 0) track.placer.place(seconds, samplesOf(frame, track.channels));
        frame.unref();
      }
    };
    const listened = tracks.filter((track) => track.channels.length > 0);
    while (!isEnd && next < range.until) {
      media.limit.resume();
      for (let n = 0; n < packetsInARow && !isEnd; n++) {
        const code = media.container.readFrameSync(packet);
        if (code < 0) {
          isEnd = code === av.AVERROR_EOF || ++readErrors > mostReadErrors;
          continue;
        }
        readErrors = 0;
        const track = listened.find((one) => one.stream.index === packet.streamIndex);
        if (track) decode(track, false);
        packet.unref();
        if (listened.every((one) => one.placer.filledTo >= range.until)) break;
      }
      if (isEnd) for (const track of listened) decode(track, true);
      media.limit.check();
      const reached = Math.max(0, ...listened.map((track) => track.placer.filledTo));
      // A stream that ends before the others, or has a long hole, goes on in silence.
      const safe = isEnd ? reached : Math.min(...listened.map((track) => track.placer.filledTo));
      const count = Math.min(safe, range.until) - next;
      if (count > 0) {
        for (const track of listened) track.placer.queue.pushSilence(count - track.placer.queue.length);
        const taken = new Map<number, Float32Array>();
        for (const track of listened) {
          const arrays = track.placer.queue.take(count);
          for (const [i, number] of track.numbers.entries()) taken.set(number, arrays[i]!);
        }
        yield {
          firstSample: next,
          channels: order.map((number) => taken.get(number) ?? new Float32Array(count)),
        };
        next += count;
      }
      await new Promise<void>((resolve) => setImmediate(resolve));
    }
    if (decoded === 0 && range.from === 0 && range.until > 0) throw explainNothingDecodes(path);
  } finally {
    if (!media.limit.isStuck) {
      for (const track of tracks) track.context.freeContext();
      packet.free();
      frame.free();
    }
    await media.close();
  }
}

interface Track {
  readonly stream: Stream;
  readonly context: CodecContext;
  /** Wanted channels of this stream, from 0. */
  readonly channels: readonly number[];
  /** The same, counted through all streams. */
  readonly numbers: readonly number[];
  readonly placer: SoundPlacer;
}

async function seekTo(media: OpenedMedia, timeline: Timeline, localSeconds: number): Promise<void> {
  const stream = media.sound[0]!;
  const target = localSeconds - prerollSeconds;
  const startSeconds = timeline.sound!.startSeconds - timeline.zeroSeconds;
  if (target - startSeconds < shortestSeekSeconds) return;
  if (!exactlySeekable.test(media.container.iformat?.name ?? "")) return;
  const stamp = BigInt(Math.floor((target + timeline.zeroSeconds) / tickSeconds(stream)));
  // A seek that fails leaves the reader at the start, from where everything is found too.
  await media.limit.guard(media.container.seekFrame(stream.index, stamp, av.AVSEEK_FLAG_BACKWARD));
}
