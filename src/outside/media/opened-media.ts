import * as av from "node-av/constants";
import {
  avGetCodecName,
  Codec,
  CodecContext,
  Dictionary,
  FormatContext,
  Packet,
  type Stream,
} from "node-av/lib";
import { must } from "./library.ts";
import { explainCameraRaw, explainOpening, sizeOfMediaFile } from "./media-errors.ts";
import { TimeLimit } from "./time-limit.ts";

/**
 * Containers that hold recordings. Play lists, text and still pictures are left out: a file must not be able to
 * name other files or addresses.
 */
const containers =
  "mov,matroska,wav,w64,aiff,caf,flac,mp3,aac,ogg,avi,mpegts,mpeg,mxf,asf,flv,au,h264,hevc,dv,gxf,nut,ac3,eac3,amr,ape,tta,wv";

/** A recording that is open for reading, with its streams chosen. */
export interface OpenedMedia {
  readonly path: string;
  readonly bytes: number;
  readonly container: FormatContext;
  readonly limit: TimeLimit;
  readonly picture: Stream | null;
  /** One stream, or several mono streams of one recorder, which count as the channels of one. */
  readonly sound: readonly Stream[];
  /** Frees what can be freed. Safe to call more than once. */
  close(): Promise<void>;
}

/**
 * Opens a recording.
 *
 * @param seconds - Media that will be decoded, where known; the time limit grows with it.
 * @throws ExplainedError `FILE_MISSING`, `FILE_NOT_READABLE`, `MEDIA_NOT_RECOGNISED`, `MEDIA_NO_INDEX`,
 *   `MEDIA_CAMERA_RAW`, `MEDIA_TOO_SLOW`.
 */
export async function openMedia(path: string, seconds = 0): Promise<OpenedMedia> {
  const bytes = await sizeOfMediaFile(path);
  const limit = new TimeLimit(path, { bytes, seconds });
  const container = new FormatContext();
  limit.onExpiry(() => container.interrupt());
  let isOpen = true;
  const close = async (): Promise<void> => {
    if (!isOpen || limit.isStuck) return;
    isOpen = false;
    await container.closeInput();
  };
  try {
    const options = Dictionary.fromObject({ format_whitelist: containers, protocol_whitelist: "file" });
    must(await limit.guard(container.openInput(`file:${path}`, null, options)), "open");
    must(await limit.guard(container.findStreamInfo(null)), "look at the streams");
    const picture = choosePicture(container.streams);
    const sound = chooseSound(container.streams);
    if (!picture && container.streams.some(isMoving)) throw explainCameraRaw(path);
    if (!picture && sound.length === 0) must(av.AVERROR_INVALIDDATA, "find a stream");
    return { path, bytes, container, limit, picture, sound, close };
  } catch (cause) {
    await close();
    throw await explainOpening(path, cause);
  }
}

function canDecode(stream: Stream): boolean {
  return Codec.findDecoder(stream.codecpar.codecId) !== null;
}

/** A stream of pictures, not a cover that lies beside sound. */
function isMoving(stream: Stream): boolean {
  return (
    stream.codecpar.codecType === av.AVMEDIA_TYPE_VIDEO &&
    !stream.hasDisposition(av.AV_DISPOSITION_ATTACHED_PIC)
  );
}

/** The picture with most pixels: cover art, previews and depth maps are smaller or marked. */
function choosePicture(streams: readonly Stream[]): Stream | null {
  const candidates = streams.filter((stream) => isMoving(stream) && canDecode(stream));
  const area = (stream: Stream): number => stream.codecpar.width * stream.codecpar.height;
  return candidates.reduce<Stream | null>(
    (best, next) => (best && area(best) >= area(next) ? best : next),
    null,
  );
}

/** The first sound stream; with it every other mono one of its kind, for recorders that keep a track a microphone. */
function chooseSound(streams: readonly Stream[]): readonly Stream[] {
  const candidates = streams.filter(
    (stream) => stream.codecpar.codecType === av.AVMEDIA_TYPE_AUDIO && canDecode(stream),
  );
  const first = candidates[0];
  if (!first) return [];
  if (first.codecpar.channels !== 1) return [first];
  return candidates.filter(
    ({ codecpar }) =>
      codecpar.channels === 1 &&
      codecpar.codecId === first.codecpar.codecId &&
      codecpar.sampleRate === first.codecpar.sampleRate,
  );
}

/** Opens the decoder of a stream. The caller frees it, and only while nothing is pending on it. */
export function openDecoder(stream: Stream, set?: (context: CodecContext) => void): CodecContext {
  const codec = Codec.findDecoder(stream.codecpar.codecId);
  if (!codec) throw new Error(`no decoder for ${codecNameOf(stream)}`);
  const context = new CodecContext();
  context.allocContext3(codec);
  try {
    must(context.parametersToContext(stream.codecpar), "decoder parameters");
    context.pktTimebase = stream.timeBase;
    context.threadCount = 2;
    set?.(context);
    must(context.open2Sync(codec, null), "open decoder");
    return context;
  } catch (cause) {
    context.freeContext();
    throw cause;
  }
}

export function codecNameOf(stream: Stream): string {
  return avGetCodecName(stream.codecpar.codecId) ?? "unknown";
}

/** Seconds a tick of the stream's clock. */
export function tickSeconds(stream: Stream): number {
  return stream.timeBase.num / stream.timeBase.den;
}

/** Leaves the demuxer to read these streams alone. */
export function readOnly(media: OpenedMedia, wanted: readonly Stream[]): void {
  const indices = new Set(wanted.map((stream) => stream.index));
  for (const stream of media.container.streams) {
    stream.discard = indices.has(stream.index) ? av.AVDISCARD_DEFAULT : av.AVDISCARD_ALL;
  }
}

/** A packet ready for reading into; the library crashes on one that was not allocated. */
export function newPacket(): Packet {
  const packet = new Packet();
  packet.alloc();
  return packet;
}
