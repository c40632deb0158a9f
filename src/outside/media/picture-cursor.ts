import * as av from "node-av/constants";
import { type CodecContext, Frame, type Packet } from "node-av/lib";
import { must } from "./library.ts";
import { explainMissing } from "./media-errors.ts";
import {
  newPacket,
  type OpenedMedia,
  openDecoder,
  openMedia,
  readOnly,
  tickSeconds,
} from "./opened-media.ts";
import type { Timeline } from "./timeline.ts";

/** Decoding on is cheaper than a seek over less than this. */
const shortestSeekSeconds = 2;
const mostReadErrors = 100;

/** A frame that the cursor lent out: read it before the next call. */
export interface LentFrame {
  readonly frame: Frame;
  /** Local time at which it appears. */
  readonly atSeconds: number;
}

/**
 * Walks through the pictures of one recording in the order they are shown, and jumps where that is cheaper.
 * Damaged packets are skipped and counted.
 */
export class PictureCursor {
  readonly media: OpenedMedia;
  readonly #timeline: Timeline;
  readonly #tick: number;
  readonly #streamIndex: number;
  readonly #firstStamp: bigint;
  readonly #packet: Packet = newPacket();
  #decoder: CodecContext;
  /** The frame on screen and the one after it; undefined: not decoded yet, or there is none. */
  #shown: Frame | undefined;
  #ahead: Frame | undefined;
  readonly #spare: Frame[] = [newFrame(), newFrame()];
  #isDrained = false;
  #isAtStart = true;
  /** Stamp of the key frame that decoding began with: frames before it lean on pictures that were not read. */
  #keyStamp: bigint | undefined;
  undecodable = 0;

  private constructor(media: OpenedMedia, timeline: Timeline) {
    this.media = media;
    this.#timeline = timeline;
    const stream = media.picture!;
    this.#streamIndex = stream.index;
    this.#tick = tickSeconds(stream);
    this.#firstStamp = BigInt(Math.round(timeline.picture!.startSeconds / this.#tick));
    this.#decoder = openDecoder(stream);
  }

  /**
   * @param seconds - Media that will be decoded, for the time limit.
   * @throws ExplainedError as {@link openMedia}, and `MEDIA_NO_PICTURE`.
   */
  static async open(path: string, timeline: Timeline, seconds: number): Promise<PictureCursor> {
    if (!timeline.picture) throw explainMissing(path, "picture");
    const media = await openMedia(path, seconds);
    try {
      if (!media.picture) throw explainMissing(path, "picture");
      readOnly(media, [media.picture]);
      return new PictureCursor(media, timeline);
    } catch (cause) {
      await media.close();
      throw cause;
    }
  }

  /** Half a tick: how far a time stamp may lie from the time it stands for. Seconds. */
  get graceSeconds(): number {
    return this.#tick / 2;
  }

  /** The frame on screen at a local time: the last that appears at or before it; the first for earlier times. */
  async at(localSeconds: number): Promise<LentFrame | null> {
    const stamp = this.#stampOf(localSeconds);
    await this.#seekFor(stamp);
    while (this.#ahead && this.#ahead.bestEffortTimestamp <= stamp) await this.#step();
    return this.#lend(this.#shown ?? this.#ahead);
  }

  /** The frame after the one that was lent last; null at the end. */
  async next(): Promise<LentFrame | null> {
    if (!this.#shown && !this.#ahead) this.#ahead = await this.#decode();
    if (!this.#ahead) return null;
    await this.#step();
    return this.#lend(this.#shown);
  }

  /** Frees what can be freed. Safe to call more than once. */
  async close(): Promise<void> {
    if (!this.media.limit.isStuck) {
      this.#decoder.freeContext();
      this.#packet.free();
      for (const frame of [...this.#spare, this.#shown, this.#ahead]) frame?.free();
      this.#spare.length = 0;
      this.#shown = this.#ahead = undefined;
    }
    await this.media.close();
  }

  /** The nearest tick: time stamps are rounded to ticks, so the time of a frame may lie half a tick before it. */
  #stampOf(localSeconds: number): bigint {
    return BigInt(Math.round((localSeconds + this.#timeline.zeroSeconds) / this.#tick));
  }

  #lend(frame: Frame | undefined): LentFrame | null {
    if (!frame) return null;
    return { frame, atSeconds: Number(frame.bestEffortTimestamp) * this.#tick - this.#timeline.zeroSeconds };
  }

  async #step(): Promise<void> {
    if (this.#shown) this.#giveBack(this.#shown);
    this.#shown = this.#ahead;
    this.#ahead = await this.#decode();
  }

  #giveBack(frame: Frame): void {
    frame.unref();
    this.#spare.push(frame);
  }

  async #seekFor(stamp: bigint): Promise<void> {
    const far = BigInt(Math.round(shortestSeekSeconds / this.#tick));
    const at = (this.#shown ?? this.#ahead)?.bestEffortTimestamp;
    if (at === undefined) {
      if (!this.#isAtStart || stamp - this.#firstStamp > far) return this.#jump(stamp);
      this.#ahead = await this.#decode();
      return;
    }
    if (stamp < at && at > this.#firstStamp) return this.#jump(stamp);
    if (this.#ahead && stamp - this.#ahead.bestEffortTimestamp > far) return this.#jump(stamp);
  }

  /** Seeks so that decoding reaches `stamp` from before it. */
  async #jump(stamp: bigint): Promise<void> {
    for (let backSeconds = 0; ; backSeconds = Math.max(1, 2 * backSeconds)) {
      const target = stamp - BigInt(Math.round(backSeconds / this.#tick));
      const isStart = target <= this.#firstStamp;
      await this.#seek(isStart ? this.#firstStamp : target);
      this.#ahead = await this.#decode();
      if (isStart || (this.#ahead && this.#ahead.bestEffortTimestamp <= stamp)) return;
    }
  }

  async #seek(stamp: bigint): Promise<void> {
    const { container, limit } = this.media;
    for (const frame of [this.#shown, this.#ahead]) if (frame) this.#giveBack(frame);
    this.#shown = this.#ahead = undefined;
    let code = await limit.guard(container.seekFrame(this.#streamIndex, stamp, av.AVSEEK_FLAG_BACKWARD));
    // Some demuxers cannot go before their first key frame's decoding time.
    if (code < 0) code = await limit.guard(container.seekFrame(this.#streamIndex, stamp));
    must(code, "seek");
    this.#decoder.flushBuffers();
    this.#isDrained = false;
    this.#isAtStart = false;
    this.#keyStamp = undefined;
  }

  /** The next frame in the order they are shown, in a frame of its own; undefined at the end. */
  async #decode(): Promise<Frame | undefined> {
    const { limit, container } = this.media;
    const frame = this.#spare.pop() ?? newFrame();
    let readErrors = 0;
    for (;;) {
      const code = await limit.guard(this.#decoder.receiveFrame(frame));
      if (code >= 0) {
        const stamp = frame.bestEffortTimestamp;
        if (stamp !== av.AV_NOPTS_VALUE && (this.#keyStamp === undefined || stamp >= this.#keyStamp))
          return frame;
        frame.unref();
        continue;
      }
      if (code === av.AVERROR_EOF || (code === av.AVERROR_EAGAIN && this.#isDrained)) break;
      if (code !== av.AVERROR_EAGAIN) {
        this.undecodable++;
        if (this.#isDrained) break;
      }
      const read = await limit.guard(container.readFrame(this.#packet));
      if (read < 0) {
        if (read !== av.AVERROR_EOF && ++readErrors <= mostReadErrors) continue;
        this.#isDrained = true;
        await limit.guard(this.#decoder.sendPacket(null));
        continue;
      }
      if (this.#packet.streamIndex === this.#streamIndex) {
        if (
          this.#keyStamp === undefined &&
          this.#packet.isKeyframe &&
          this.#packet.pts !== av.AV_NOPTS_VALUE
        ) {
          this.#keyStamp = this.#packet.pts;
        }
        const sent = await limit.guard(this.#decoder.sendPacket(this.#packet));
        if (sent < 0 && sent !== av.AVERROR_EAGAIN) this.undecodable++;
      }
      this.#packet.unref();
    }
    this.#giveBack(frame);
    return undefined;
  }
}

function newFrame(): Frame {
  const frame = new Frame();
  frame.alloc();
  return frame;
}
