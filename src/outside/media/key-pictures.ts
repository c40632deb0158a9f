import * as av from "node-av/constants";
import { Frame } from "node-av/lib";
import type { SmallPicture } from "#documents/media-reader";
import { explainMissing } from "./media-errors.ts";
import { newPacket, openDecoder, openMedia, readOnly, tickSeconds } from "./opened-media.ts";
import { PictureConverter } from "./picture-converter.ts";
import type { Timeline } from "./timeline.ts";

/** Key frames closer than this are passed over: where every picture is one, these are enough for looking. */
const leastSpacingSeconds = 0.4;
const mostReadErrors = 100;

/**
 * Key frames alone, small. In MP4 and MOV the index leads from each to the next, so most of the file is never
 * read (letting that demuxer discard the others costs less still, but then it gives key frames the time stamps of
 * pictures it passed over). Elsewhere the demuxer discards what is no key frame. Streams whose every picture is
 * a key frame are thinned to two or three a second.
 *
 * @throws ExplainedError as {@link openMedia}, and `MEDIA_NO_PICTURE`.
 */
export async function* readKeyPictures(
  path: string,
  timeline: Timeline,
  rotationDegrees: number,
  wish: {
    readonly maxWidth: number;
    readonly startSeconds?: number;
    readonly endSeconds?: number;
    readonly spacingSeconds?: number;
  },
): AsyncGenerator<SmallPicture> {
  if (!timeline.picture) throw explainMissing(path, "picture");
  const media = await openMedia(path);
  const packet = newPacket();
  const frame = new Frame();
  frame.alloc();
  const { picture: stream, limit, container } = media;
  if (!stream) {
    await media.close();
    throw explainMissing(path, "picture");
  }
  const converter = new PictureConverter(stream, rotationDegrees, limit);
  const decoder = openDecoder(stream, (context) => context.setOption("skip_frame", "nokey"));
  const tick = tickSeconds(stream);
  const local = (stamp: bigint): number => Number(stamp) * tick - timeline.zeroSeconds;
  const stampOf = (seconds: number): bigint => BigInt(Math.floor((seconds + timeline.zeroSeconds) / tick));
  const spacing = Math.max(leastSpacingSeconds, wish.spacingSeconds ?? 0);
  const spacingTicks = BigInt(Math.max(1, Math.round(spacing / tick)));
  // Half a tick of grace: time stamps are rounded.
  const start = (wish.startSeconds ?? -Infinity) - tick / 2;
  const end = (wish.endSeconds ?? Infinity) - tick / 2;
  try {
    readOnly(media, [stream]);
    let isStepping = /^mov/.test(container.iformat?.name ?? "");
    if (!isStepping) stream.discard = av.AVDISCARD_NONKEY;
    if (start > 0 && Number.isFinite(start)) {
      // A seek that fails leaves the reader at the start; earlier pictures are then passed over.
      await limit.guard(container.seekFrame(stream.index, stampOf(start), av.AVSEEK_FLAG_BACKWARD));
    }
    let lastSent = -Infinity;
    let lastKey: bigint | undefined;
    let step = spacingTicks;
    let readErrors = 0;
    for (let isEnd = false; !isEnd; ) {
      if (isStepping && lastKey !== undefined) {
        // With no flag a seek goes forward, to the next key frame. At the end, or where the index is in parts
        // that were not read yet, there is none: what is left is read through.
        isStepping = (await limit.guard(container.seekFrame(stream.index, lastKey + step))) >= 0;
      }
      const read = await limit.guard(container.readFrame(packet));
      if (read < 0) {
        if (read !== av.AVERROR_EOF && ++readErrors <= mostReadErrors) continue;
        isEnd = true;
        await limit.guard(decoder.sendPacket(null));
      } else {
        const stamp = packet.pts === av.AV_NOPTS_VALUE ? packet.dts : packet.pts;
        const at = local(stamp);
        // Packets read while the streams were looked at come out whatever is discarded.
        const isKey = packet.streamIndex === stream.index && packet.isKeyframe;
        const isWanted = isKey && at - lastSent >= spacing - tick / 2;
        if (isStepping && lastKey !== undefined && !(isKey && packet.dts > lastKey)) {
          // A damaged index leads nowhere: from here on everything is read.
          isStepping = false;
        } else if (isKey && isStepping) {
          lastKey = packet.dts;
          step = at >= start ? spacingTicks : 1n;
        }
        if (isWanted && at >= start) {
          lastSent = at;
          await limit.guard(decoder.sendPacket(packet));
        }
        packet.unref();
        if (isWanted && at >= end) {
          isEnd = true;
          await limit.guard(decoder.sendPacket(null));
        } else if (!isWanted) continue;
      }
      for (;;) {
        const code = await limit.guard(decoder.receiveFrame(frame));
        if (code === av.AVERROR_EAGAIN || code === av.AVERROR_EOF) break;
        if (code < 0) continue;
        const atSeconds = local(frame.bestEffortTimestamp);
        if (atSeconds >= start && atSeconds < end) {
          const picture = await converter.small(frame, wish.maxWidth);
          frame.unref();
          yield { atSeconds, ...picture };
        } else frame.unref();
      }
    }
  } finally {
    converter.free();
    if (!limit.isStuck) {
      decoder.freeContext();
      packet.free();
      frame.free();
    }
    await media.close();
  }
}
