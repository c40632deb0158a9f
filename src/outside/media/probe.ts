import * as av from "node-av/constants";
import { avGetPixFmtName, type FormatContext, type Stream } from "node-av/lib";
import type { FrameRate, RecordingProbe } from "#documents/recording";
import { bitDepthOf } from "./frame-facts.ts";
import { frameRateOf } from "./frame-rate.ts";
import { explainReading } from "./media-errors.ts";
import { codecNameOf, openMedia, tickSeconds } from "./opened-media.ts";
import { rotationDegreesOf } from "./rotation.ts";
import { channelCount } from "./sound-source.ts";
import { readTimeline, type Timeline } from "./timeline.ts";

/**
 * What a recording says of itself, its starts checked by decoding the first frame of each stream.
 *
 * @throws ExplainedError `FILE_MISSING`, `FILE_NOT_READABLE`, `MEDIA_NOT_RECOGNISED`, `MEDIA_NO_INDEX`,
 *   `MEDIA_CAMERA_RAW`, `MEDIA_DECODE_FAILED`, `MEDIA_TOO_SLOW`.
 */
export async function probeRecording(path: string): Promise<RecordingProbe> {
  const timeline = await readTimeline(path);
  const media = await openMedia(path);
  try {
    const { container, picture, sound } = media;
    const tags = allTags(container);
    const pictureEnd =
      picture && timeline.picture ? endSeconds(picture, container) - timeline.zeroSeconds : 0;
    const soundEnd = timeline.sound
      ? Math.max(...sound.map((stream) => endSeconds(stream, container))) - timeline.zeroSeconds
      : 0;
    const reference = /^\d+$/.test(tags.time_reference ?? "") ? Number(tags.time_reference) : null;
    return {
      container: container.iformat?.name ?? "unknown",
      bytes: media.bytes,
      durationSeconds: Math.max(0, pictureEnd, soundEnd),
      picture:
        picture && timeline.picture
          ? await describePicture(path, container, picture, timeline, pictureEnd)
          : null,
      sound:
        sound[0] && timeline.sound
          ? {
              streamIndex: sound[0].index,
              codec: codecNameOf(sound[0]),
              sampleRateHz: timeline.sound.sampleRateHz,
              channels: channelCount(media),
              startSeconds: timeline.sound.startSeconds - timeline.zeroSeconds,
              durationSeconds: Math.max(0, soundEnd - (timeline.sound.startSeconds - timeline.zeroSeconds)),
            }
          : null,
      timecode: timecodeOf(container, tags),
      timeReferenceSamples: reference,
      createdAt: createdAtOf(tags),
    };
  } catch (cause) {
    throw explainReading(path, cause);
  } finally {
    await media.close();
  }
}

async function describePicture(
  path: string,
  container: FormatContext,
  stream: Stream,
  timeline: Timeline,
  end: number,
): Promise<NonNullable<RecordingProbe["picture"]>> {
  const { startSeconds, facts } = timeline.picture!;
  const localStart = startSeconds - timeline.zeroSeconds;
  const rate = await frameRateOf(path, container, stream);
  const pixelFormat = facts.pixelFormat ?? avGetPixFmtName(stream.codecpar.format as av.AVPixelFormat);
  const frames = Number(stream.nbFrames);
  return {
    streamIndex: stream.index,
    codec: codecNameOf(stream),
    pixelFormat,
    bitDepth: bitDepthOf(pixelFormat),
    width: facts.width,
    height: facts.height,
    frameRate: rate.frameRate,
    isVariableRate: rate.isVariable,
    startSeconds: localStart,
    durationSeconds: Math.max(0, end - localStart),
    frames: frames > 0 ? frames : null,
    colour: facts.colour,
    rotationDegrees: rotationDegreesOf(stream),
    pixelAspect: pixelAspectOf(stream),
  };
}

/** End of a stream on the container's clock, as claimed. */
function endSeconds(stream: Stream, container: FormatContext): number {
  const start = stream.startTime === av.AV_NOPTS_VALUE ? 0 : Number(stream.startTime) * tickSeconds(stream);
  if (stream.duration !== av.AV_NOPTS_VALUE && stream.duration > 0n) {
    return start + Number(stream.duration) * tickSeconds(stream);
  }
  // Matroska keeps each track's length as a tag: 00:01:02.345000000.
  const tag = /^(\d+):(\d\d):(\d\d(?:\.\d+)?)/.exec(stream.metadata?.get("DURATION") ?? "");
  if (tag) return Number(tag[1]) * 3600 + Number(tag[2]) * 60 + Number(tag[3]);
  const containerStart = container.startTime === av.AV_NOPTS_VALUE ? 0 : Number(container.startTime) / 1e6;
  return container.duration === av.AV_NOPTS_VALUE ? start : containerStart + Number(container.duration) / 1e6;
}

function pixelAspectOf(stream: Stream): FrameRate {
  for (const { num, den } of [stream.sampleAspectRatio, stream.codecpar.sampleAspectRatio]) {
    if (num > 0 && den > 0) return { num, den };
  }
  return { num: 1, den: 1 };
}

function allTags(container: FormatContext): Record<string, string> {
  const lower = (tags: Record<string, string>): Record<string, string> =>
    Object.fromEntries(Object.entries(tags).map(([key, value]) => [key.toLowerCase(), value]));
  return lower(container.metadata?.getAll() ?? {});
}

/** From the timecode track, or a tag of a stream or the whole. */
function timecodeOf(container: FormatContext, tags: Record<string, string>): string | null {
  for (const stream of container.streams) {
    const label = stream.metadata?.get("timecode");
    if (label) return label;
  }
  return tags.timecode ?? null;
}

/** Container's creation time; a broadcast WAV keeps date and time apart, with freely chosen separators. */
function createdAtOf(tags: Record<string, string>): string | null {
  const whole = tags.creation_time ?? tags.modification_date;
  const moment = whole ? new Date(whole) : null;
  if (moment && !Number.isNaN(moment.getTime())) return moment.toISOString();
  const date = /^(\d{4})\D(\d\d)\D(\d\d)$/.exec(tags.origination_date ?? tags.date ?? "");
  const time = /^(\d\d)\D(\d\d)\D(\d\d)$/.exec(tags.origination_time ?? "");
  if (!date) return null;
  const day = `${date[1]}-${date[2]}-${date[3]}`;
  return time ? `${day}T${time[1]}:${time[2]}:${time[3]}` : day;
}
