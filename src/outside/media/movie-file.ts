import { extname } from "node:path";
import * as av from "node-av/constants";
import {
  avChannelLayoutDefault,
  avGetPixFmtFromName,
  Codec,
  CodecContext,
  Dictionary,
  FormatContext,
  Frame,
  Packet,
  Rational,
  type Stream,
} from "node-av/lib";
import type { FrameRate } from "#documents/recording";
import { must } from "./library.ts";
import { explainWriting } from "./media-errors.ts";
import type { MovieFormat, PictureFormat, SoundFormat } from "./movie-format.ts";
import { displayMatrix } from "./rotation.ts";
import { dropPart, keepWhole, partNameOf, prepareFolderOf } from "./whole-file.ts";

const containers: Readonly<Record<string, string>> = {
  ".mov": "mov",
  ".mp4": "mp4",
  ".mkv": "matroska",
  ".wav": "wav",
};

const pictureEncoders = { h264: "libx264", hevc: "libx265", prores: "prores_ks" } as const;
const soundEncoders = {
  pcm_s24le: { name: "pcm_s24le", sample: av.AV_SAMPLE_FMT_S32 },
  pcm_s16le: { name: "pcm_s16le", sample: av.AV_SAMPLE_FMT_S16 },
  pcm_f32le: { name: "pcm_f32le", sample: av.AV_SAMPLE_FMT_FLT },
  aac: { name: "aac", sample: av.AV_SAMPLE_FMT_FLTP },
  opus: { name: "libopus", sample: av.AV_SAMPLE_FMT_FLT },
  flac: { name: "flac", sample: av.AV_SAMPLE_FMT_S32 },
} as const;

/** Sound is encoded on this thread; between so many frames other work gets its turn. */
const soundFramesInARow = 48;

interface Track {
  /** Null where pictures come encoded. */
  readonly context: CodecContext | null;
  readonly stream: Stream;
  readonly isPicture: boolean;
}

/** A track that is encoded here. */
interface EncodedTrack extends Track {
  readonly context: CodecContext;
}

/** Pictures that come encoded, all of them with the parameters of one stream. */
export interface EncodedPictures {
  readonly like: Stream;
  readonly frameRate: FrameRate;
}

/**
 * A movie file in the making, over library frames: encoding, interleaving by time, and the whole file or none.
 * Calls are put in a row by the file itself, so nothing is freed while the library is at work on it.
 */
export class MovieFile {
  readonly path: string;
  #container: FormatContext;
  #packet = new Packet();
  #picture: Track | undefined;
  #pictureTick: Rational | undefined;
  #sound: EncodedTrack | undefined;
  #soundFormat: SoundFormat | undefined;
  #frames = 0;
  /** Time of the next frame, in frames of the movie's rate. */
  #ticks = 0;
  #samples = 0;
  #soundFrames = 0;
  /** Samples that do not fill a codec frame yet, one array per channel. */
  #waiting: Float32Array[] = [];
  #waitingLength = 0;
  #row: Promise<unknown> = Promise.resolve();
  #isOpen = true;

  private constructor(path: string, container: FormatContext) {
    this.path = path;
    this.#container = container;
    this.#packet.alloc();
  }

  /**
   * Opens the encoders and writes the container's head under the part's name.
   *
   * @throws ExplainedError `DISK_WRITE_FAILED`, `DISK_FULL`, `MEDIA_ENCODE_FAILED`.
   */
  static async open(path: string, format: MovieFormat, encoded?: EncodedPictures): Promise<MovieFile> {
    const containerName = containers[extname(path).toLowerCase()];
    if (containerName === undefined)
      throw new TypeError(`no container for ${extname(path)}: use .mov, .mp4 or .mkv`);
    const container = new FormatContext();
    let file: MovieFile | undefined;
    try {
      await prepareFolderOf(path);
      must(container.allocOutputContext2(null, containerName, `file:${partNameOf(path)}`), "container");
      file = new MovieFile(path, container);
      await file.#begin(format, encoded);
      return file;
    } catch (cause) {
      if (file) await file.#release();
      else container.freeContext();
      await dropPart(path);
      if (cause instanceof TypeError) throw cause;
      throw explainWriting(path, cause);
    }
  }

  async #begin(format: MovieFormat, encoded: EncodedPictures | undefined): Promise<void> {
    const tags: Record<string, string> = { ...format.tags };
    if (format.createdAt !== undefined) tags.creation_time = format.createdAt;
    if (format.timecode !== undefined) tags.timecode = format.timecode;
    if (Object.keys(tags).length > 0) this.#container.metadata = Dictionary.fromObject(tags);
    if (format.video) {
      this.#picture = await this.#addPicture(format.video);
      const { num, den } = format.video.frameRate;
      this.#ticks = Math.round(((format.pictureStartSeconds ?? 0) * num) / den);
    }
    if (encoded) this.#picture = this.#addEncoded(encoded);
    if (format.sound) {
      this.#sound = await this.#addSound(format.sound);
      this.#soundFormat = format.sound;
      this.#waiting = Array.from({ length: format.sound.channels }, () => new Float32Array(0));
      this.#samples = Math.round((format.soundStartSeconds ?? 0) * format.sound.sampleRateHz);
    }
    must(await this.#container.openOutput(), "create");
    const options = { ...(format.indexFirst ? { movflags: "+faststart" } : {}), ...format.containerOptions };
    must(await this.#container.writeHeader(Dictionary.fromObject(options)), "head");
  }

  #addEncoded({ like, frameRate }: EncodedPictures): Track {
    const stream = this.#container.newStream(null);
    this.#pictureTick = new Rational(frameRate.den, frameRate.num);
    stream.timeBase = this.#pictureTick;
    must(like.codecpar.copy(stream.codecpar), "stream parameters");
    stream.codecpar.codecTag = 0;
    stream.avgFrameRate = new Rational(frameRate.num, frameRate.den);
    return { context: null, stream, isPicture: true };
  }

  async #addPicture(format: PictureFormat): Promise<EncodedTrack> {
    const codec = encoderNamed(pictureEncoders[format.codec]);
    const context = new CodecContext();
    context.allocContext3(codec);
    context.width = format.width;
    context.height = format.height;
    context.pixelFormat = avGetPixFmtFromName(format.pixelFormat);
    context.timeBase = new Rational(format.frameRate.den, format.frameRate.num);
    context.framerate = new Rational(format.frameRate.num, format.frameRate.den);
    context.sampleAspectRatio = new Rational(1, 1);
    context.colorPrimaries = format.colour.primaries as av.AVColorPrimaries;
    context.colorTrc = format.colour.transfer as av.AVColorTransferCharacteristic;
    context.colorSpace = format.colour.matrix as av.AVColorSpace;
    context.colorRange = format.colour.fullRange ? av.AVCOL_RANGE_JPEG : av.AVCOL_RANGE_MPEG;
    context.threadCount = format.threads ?? 2;
    if (format.bFrames !== undefined) context.maxBFrames = format.bFrames;
    const options: Record<string, string> = {};
    if (format.codec !== "prores") {
      context.gopSize = format.gopFrames ?? Math.round((2 * format.frameRate.num) / format.frameRate.den);
      options.crf = String(format.crf ?? 18);
      options.preset = format.preset ?? "veryfast";
    }
    if (format.codec === "hevc") {
      options["x265-params"] = "log-level=none";
      context.codecTag = "hvc1";
    }
    return this.#open(context, codec, options, true, format.rotationDegrees);
  }

  async #addSound(format: SoundFormat): Promise<EncodedTrack> {
    const { name, sample } = soundEncoders[format.codec];
    const codec = encoderNamed(name);
    const context = new CodecContext();
    context.allocContext3(codec);
    context.sampleRate = format.sampleRateHz;
    context.sampleFormat = sample;
    context.channelLayout = avChannelLayoutDefault(format.channels);
    context.timeBase = new Rational(1, format.sampleRateHz);
    if (format.codec === "aac" || format.codec === "opus") {
      context.bitRate = BigInt(format.bitRate ?? 96_000 * format.channels);
    }
    if (format.codec === "flac") context.bitsPerRawSample = 24;
    return this.#open(context, codec, {}, false);
  }

  async #open(
    context: CodecContext,
    codec: Codec,
    options: Record<string, string>,
    isPicture: boolean,
    rotationDegrees = 0,
  ): Promise<EncodedTrack> {
    try {
      if (
        this.#container.oformat?.flags !== undefined &&
        (this.#container.oformat.flags & av.AVFMT_GLOBALHEADER) !== 0
      ) {
        context.setFlags(av.AV_CODEC_FLAG_GLOBAL_HEADER);
      }
      must(await context.open2(codec, Dictionary.fromObject(options)), `open ${codec.name ?? "encoder"}`);
      const stream = this.#container.newStream(null);
      stream.timeBase = context.timeBase;
      must(stream.codecpar.fromContext(context), "stream parameters");
      if (isPicture) stream.avgFrameRate = context.framerate;
      if (rotationDegrees !== 0) {
        stream.codecpar.addCodedSideData(av.AV_PKT_DATA_DISPLAYMATRIX, displayMatrix(rotationDegrees));
      }
      return { context, stream, isPicture };
    } catch (cause) {
      context.freeContext();
      throw cause;
    }
  }

  /**
   * Encodes one picture as the next frame, to be shown for `ticks` frames of the movie's rate. The frame stays
   * the caller's; its time stamps are set here.
   */
  picture(frame: Frame, ticks = 1): Promise<void> {
    return this.#inRow(async () => {
      const track = this.#picture;
      if (!track?.context) throw new TypeError("this movie encodes no pictures");
      frame.pts = BigInt(this.#ticks);
      frame.duration = BigInt(ticks);
      this.#ticks += ticks;
      this.#frames++;
      frame.pictType = av.AV_PICTURE_TYPE_NONE;
      await this.#encode(track as EncodedTrack, frame);
    });
  }

  /**
   * Lays in one encoded picture, in the order of decoding.
   *
   * @param shownAt - When it is shown, in frames from the movie's start.
   * @param decodedAt - When it is decoded, in frames; never after it is shown, and rising.
   */
  encodedPicture(packet: Packet, shownAt: number, decodedAt: number): Promise<void> {
    return this.#inRow(async () => {
      const track = this.#picture;
      if (!track || !this.#pictureTick) throw new TypeError("this movie takes no encoded pictures");
      this.#frames++;
      packet.pts = BigInt(shownAt);
      packet.dts = BigInt(decodedAt);
      packet.duration = 1n;
      packet.streamIndex = track.stream.index;
      packet.rescaleTs(this.#pictureTick, track.stream.timeBase);
      must(this.#container.interleavedWriteFrameSync(packet), "write");
    });
  }

  /** Encodes samples that follow on those before; every channel as long as the first. */
  sound(channels: readonly Float32Array[]): Promise<void> {
    const length = channels[0]?.length ?? 0;
    return this.#inRow(async () => {
      const track = this.#sound;
      if (!track) throw new TypeError("this movie has no sound");
      if (channels.length !== this.#waiting.length || channels.some((channel) => channel.length !== length)) {
        throw new TypeError(`expected ${this.#waiting.length} channels of equal length`);
      }
      const joined =
        this.#waitingLength === 0 ? channels : this.#waiting.map((before, c) => join(before, channels[c]!));
      const total = this.#waitingLength + length;
      const used = await this.#encodeSound(track, joined, total, false);
      this.#waiting = joined.map((channel) => channel.slice(used));
      this.#waitingLength = total - used;
    });
  }

  async #encodeSound(
    track: EncodedTrack,
    channels: readonly Float32Array[],
    total: number,
    isLast: boolean,
  ): Promise<number> {
    // PCM has no frame size of its own.
    const frameSize = track.context.frameSize > 0 ? track.context.frameSize : 4800;
    let from = 0;
    while (total - from >= frameSize || (isLast && from < total)) {
      const count = Math.min(frameSize, total - from);
      const frame = soundFrame(track.context, this.#soundFormat!, channels, from, count);
      try {
        frame.pts = BigInt(this.#samples);
        await this.#encode(track, frame);
      } finally {
        frame.free();
      }
      this.#samples += count;
      from += count;
      // The library frees what it holds for us between turns of the event loop.
      if (++this.#soundFrames % soundFramesInARow === 0)
        await new Promise<void>((next) => setImmediate(next));
    }
    return from;
  }

  async #encode(track: EncodedTrack, frame: Frame | null): Promise<void> {
    // A picture takes its time and goes to another thread; a frame of sound is done before that would begin.
    if (track.isPicture) must(await track.context.sendFrame(frame), "encode picture");
    else must(track.context.sendFrameSync(frame), "encode sound");
    for (;;) {
      const code = track.context.receivePacketSync(this.#packet);
      if (code === av.AVERROR_EAGAIN || code === av.AVERROR_EOF) return;
      must(code, "encode");
      // Without a duration the last frame falls outside the edit list.
      if (track.isPicture && this.#packet.duration === 0n) this.#packet.duration = 1n;
      this.#packet.streamIndex = track.stream.index;
      this.#packet.rescaleTs(track.context.timeBase, track.stream.timeBase);
      must(this.#container.interleavedWriteFrameSync(this.#packet), "write");
    }
  }

  /** Finishes the file, puts it on the disk and then under its name. */
  async close(): Promise<{ frames: number }> {
    const frames = await this.#inRow(async () => {
      if (this.#sound) {
        await this.#encodeSound(this.#sound, this.#waiting, this.#waitingLength, true);
        await this.#encode(this.#sound, null);
      }
      if (this.#picture?.context) await this.#encode(this.#picture as EncodedTrack, null);
      must(await this.#container.writeTrailer(), "finish");
      await this.#release();
      await keepWhole(this.path);
      return this.#frames;
    });
    return { frames };
  }

  /** Gives up: what was written is removed. Safe to call after a failure and more than once. */
  async abandon(): Promise<void> {
    await this.#row.catch(() => undefined);
    await this.#release();
    await dropPart(this.path);
  }

  async #release(): Promise<void> {
    if (!this.#isOpen) return;
    this.#isOpen = false;
    await this.#container.closeOutput();
    this.#picture?.context?.freeContext();
    this.#sound?.context.freeContext();
    this.#container.freeContext();
    this.#packet.free();
  }

  /** One call at a time; the first failure drops the part and is every later call's answer. */
  #inRow<Answer>(work: () => Promise<Answer>): Promise<Answer> {
    const answer = this.#row.then(async () => {
      if (!this.#isOpen) throw new TypeError(`${this.path} is closed`);
      try {
        return await work();
      } catch (cause) {
        await this.#release();
        await dropPart(this.path);
        if (cause instanceof TypeError) throw cause;
        throw explainWriting(this.path, cause);
      }
    });
    this.#row = answer;
    this.#row.catch(() => undefined);
    return answer;
  }
}

function encoderNamed(name: string): Codec {
  const codec = Codec.findEncoderByName(name as av.FFEncoderCodec);
  if (!codec) throw new Error(`this build of the media library has no encoder ${name}`);
  return codec;
}

function join(before: Float32Array, after: Float32Array): Float32Array {
  const joined = new Float32Array(before.length + after.length);
  joined.set(before);
  joined.set(after, before.length);
  return joined;
}

/** A library frame of `count` samples from index `from`, in the encoder's own sample format. */
function soundFrame(
  context: CodecContext,
  format: SoundFormat,
  channels: readonly Float32Array[],
  from: number,
  count: number,
): Frame {
  const frame = new Frame();
  frame.alloc();
  frame.nbSamples = count;
  frame.format = context.sampleFormat;
  frame.sampleRate = format.sampleRateHz;
  frame.channelLayout = context.channelLayout;
  must(frame.getBuffer(0), "sound buffer");
  const planes = frame.data!;
  if (context.sampleFormat === av.AV_SAMPLE_FMT_FLTP) {
    for (const [c, channel] of channels.entries()) {
      new Float32Array(planes[c]!.buffer, planes[c]!.byteOffset, count).set(
        channel.subarray(from, from + count),
      );
    }
    return frame;
  }
  const { buffer, byteOffset } = planes[0]!;
  const spread = channels.length;
  if (context.sampleFormat === av.AV_SAMPLE_FMT_FLT) {
    const target = new Float32Array(buffer, byteOffset, count * spread);
    for (let c = 0; c < spread; c++)
      for (let i = 0; i < count; i++) target[i * spread + c] = channels[c]![from + i]!;
  } else if (context.sampleFormat === av.AV_SAMPLE_FMT_S32) {
    const target = new Int32Array(buffer, byteOffset, count * spread);
    for (let c = 0; c < spread; c++) {
      for (let i = 0; i < count; i++) target[i * spread + c] = toInteger(channels[c]![from + i]!, 24) * 256;
    }
  } else {
    const target = new Int16Array(buffer, byteOffset, count * spread);
    for (let c = 0; c < spread; c++) {
      for (let i = 0; i < count; i++) target[i * spread + c] = toInteger(channels[c]![from + i]!, 16);
    }
  }
  return frame;
}

/** Full scale ±1 to a signed integer of `bits`; beyond full scale it is clipped, as a recorder would. */
export function toInteger(value: number, bits: 16 | 24): number {
  const scale = 2 ** (bits - 1);
  const scaled = Math.round(value * scale);
  return Math.max(-scale, Math.min(scale - 1, scaled));
}
