import type { Packet } from "node-av/lib";
import type { FrameRate } from "#documents/recording";
import { explainReading } from "./media-errors.ts";
import { MovieFile } from "./movie-file.ts";
import { newPacket, type OpenedMedia, openMedia, readOnly, tickSeconds } from "./opened-media.ts";
import { failWhenCancelled } from "./program.ts";
import { type ProgramSound, SoundBeneath, soundTrackOf } from "./sound-beneath.ts";

/** Pictures are decoded so many frames before they are shown, at most: B-frames that lean on B-frames. */
const reorderFrames = 2;

/**
 * Joins encoded stretches of picture end to end, as they are, with one sound under them: an MP4 with its index first.
 *
 * @param parts - Files with pictures alone, all made by the same encoder in the same way, each from its frame 0 on.
 * @throws ExplainedError of the reader and the writer, `CANCELLED`; TypeError where the parts do not fit together.
 */
export async function joinParts(
  out: string,
  parts: readonly string[],
  frameRate: FrameRate,
  sound: ProgramSound | null,
  signal: AbortSignal | undefined,
): Promise<{ frames: number }> {
  const frameSeconds = frameRate.den / frameRate.num;
  const counts: number[] = [];
  for (const part of parts) counts.push(await framesOfPart(part));
  const total = counts.reduce((sum, n) => sum + n, 0);
  const first = await openMedia(parts[0]!);
  const packet = newPacket();
  let file: MovieFile | undefined;
  let beneath: SoundBeneath | undefined;
  try {
    const head = headOf(first);
    file = await MovieFile.open(
      out,
      { ...soundTrackOf(sound), indexFirst: true },
      { like: first.picture!, frameRate },
    );
    beneath = new SoundBeneath(file, sound, total * frameSeconds);
    let before = 0;
    let decoded = 0;
    for (const [i, part] of parts.entries()) {
      for await (const shownAt of picturesOf(part, head, frameRate, packet)) {
        failWhenCancelled(signal);
        const decodedAt = decoded++ - reorderFrames;
        if (decodedAt > before + shownAt) throw new TypeError(`${part} is decoded later than it is shown`);
        await beneath.upTo(decodedAt * frameSeconds);
        await file.encodedPicture(packet, before + shownAt, decodedAt);
      }
      before += counts[i]!;
      if (decoded !== before) throw new TypeError(`${part} has not the frames that it had`);
    }
    await beneath.finish();
    await file.close();
    return { frames: total };
  } catch (cause) {
    await file?.abandon();
    throw cause;
  } finally {
    await beneath?.close();
    packet.free();
    await first.close();
  }
}

/** What a decoder is told before the first picture. */
const headOf = (media: OpenedMedia): string =>
  media.picture?.codecpar.extradata?.toString("hex") ?? "no pictures";

/** How many frames a part has; 0 where it is not there, or is not whole. */
export async function framesOfPart(part: string): Promise<number> {
  let media: OpenedMedia;
  try {
    media = await openMedia(part);
  } catch {
    return 0;
  }
  try {
    return Number(media.picture?.nbFrames ?? 0n);
  } finally {
    await media.close();
  }
}

/** Reads one packet after the other into `packet` and answers when it is shown, in frames. */
async function* picturesOf(
  part: string,
  head: string,
  frameRate: FrameRate,
  packet: Packet,
): AsyncGenerator<number> {
  const media = await openMedia(part);
  try {
    if (headOf(media) !== head) throw new TypeError(`${part} was encoded in another way`);
    const stream = media.picture!;
    readOnly(media, [stream]);
    const framesPerTick = (tickSeconds(stream) * frameRate.num) / frameRate.den;
    for (;;) {
      packet.unref();
      const code = media.container.readFrameSync(packet);
      if (code < 0) break;
      yield Math.round(Number(packet.pts) * framesPerTick);
    }
  } catch (cause) {
    if (cause instanceof TypeError) throw cause;
    throw explainReading(part, cause);
  } finally {
    await media.close();
  }
}
