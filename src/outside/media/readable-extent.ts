import * as av from "node-av/constants";
import { Frame } from "node-av/lib";
import type { RecordingProbe } from "#documents/recording";
import { explainReading } from "./media-errors.ts";
import {
  newPacket,
  type OpenedMedia,
  openDecoder,
  openMedia,
  readOnly,
  tickSeconds,
} from "./opened-media.ts";
import { readTimeline, type Timeline } from "./timeline.ts";

/** An end that is missing by less than this is there: containers round, encoders pad. Seconds. */
const roundingSeconds = 0.25;
/** The end is looked for this closely before the last stretch is decoded. Seconds. */
const bracketSeconds = 2;
/** A place counts as readable where something decodes within so much of it. Seconds. */
const reachSeconds = 3;

/**
 * How far a recording truly decodes: the whole of it, or up to where its data was cut off. A whole file costs two
 * seeks and the decoding of its last second; a cut one a dozen.
 *
 * @param probe - Of this file.
 * @returns Local time, seconds; `probe.durationSeconds` where nothing is missing.
 * @throws ExplainedError as {@link openMedia}.
 */
export async function readableSeconds(path: string, probe: RecordingProbe): Promise<number> {
  const timeline = await readTimeline(path);
  const extents: number[] = [];
  for (const [kind, stream] of [
    ["picture", probe.picture],
    ["sound", probe.sound],
  ] as const) {
    if (!stream || !timeline[kind]) continue;
    const start = stream.startSeconds;
    const end = start + stream.durationSeconds;
    const reached = await extentOf(path, timeline, kind, start, end);
    // A stream that ends early of its own accord says nothing about the other.
    if (reached < end - roundingSeconds) extents.push(reached);
  }
  return extents.length === 0 ? probe.durationSeconds : Math.min(...extents);
}

async function extentOf(
  path: string,
  timeline: Timeline,
  kind: "picture" | "sound",
  start: number,
  end: number,
): Promise<number> {
  const last = await decodedEnd(path, timeline, kind, Math.max(start, end - 1), Infinity);
  if (last !== null && last >= end - roundingSeconds) return last;
  let good = start;
  let bad = last === null ? end : Math.max(last, start);
  if (last !== null) return last;
  while (bad - good > bracketSeconds) {
    const middle = (good + bad) / 2;
    if ((await decodedEnd(path, timeline, kind, middle, middle + reachSeconds)) === null) bad = middle;
    else good = middle;
  }
  return (await decodedEnd(path, timeline, kind, good, Infinity)) ?? good;
}

/**
 * End of the last frame that decodes, from `from` on.
 *
 * @param until - Later frames need not be looked at.
 * @returns Local time; null where nothing at or after `from` decodes.
 */
async function decodedEnd(
  path: string,
  timeline: Timeline,
  kind: "picture" | "sound",
  from: number,
  until: number,
): Promise<number | null> {
  const media: OpenedMedia = await openMedia(path, reachSeconds);
  const { container, limit } = media;
  const packet = newPacket();
  const frame = new Frame();
  frame.alloc();
  const stream = kind === "picture" ? media.picture! : media.sound[0]!;
  const tick = tickSeconds(stream);
  const decoder = openDecoder(stream);
  let reached: number | null = null;
  try {
    readOnly(media, [stream]);
    const target = BigInt(Math.floor((from + timeline.zeroSeconds) / tick));
    const code = await limit.guard(container.seekFrame(stream.index, target, av.AVSEEK_FLAG_BACKWARD));
    if (code < 0 && from > reachSeconds) return null;
    for (let isEnd = false, failures = 0; !isEnd && failures < 100; ) {
      const read = await limit.guard(container.readFrame(packet));
      if (read < 0) {
        isEnd = read === av.AVERROR_EOF || ++failures >= 100;
        if (isEnd) await limit.guard(decoder.sendPacket(null));
      } else {
        const isMine = packet.streamIndex === stream.index;
        // The rest of a packet that the cut went through.
        const isTorn = packet.hasFlags(av.AV_PKT_FLAG_CORRUPT);
        if (isMine && !isTorn) await limit.guard(decoder.sendPacket(packet));
        packet.unref();
        if (!isMine || isTorn) continue;
      }
      while ((await limit.guard(decoder.receiveFrame(frame))) >= 0) {
        const at = Number(frame.bestEffortTimestamp) * tick - timeline.zeroSeconds;
        const length =
          kind === "sound" ? frame.nbSamples / frame.sampleRate : Math.max(0, Number(frame.duration)) * tick;
        if (at + length > from) reached = Math.max(reached ?? 0, at + length);
        frame.unref();
      }
      if (reached !== null && reached >= until) return reached;
    }
    return reached;
  } catch (cause) {
    throw explainReading(path, cause);
  } finally {
    if (!limit.isStuck) {
      decoder.freeContext();
      packet.free();
      frame.free();
    }
    await media.close();
  }
}
