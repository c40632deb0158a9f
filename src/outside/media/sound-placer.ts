import { SampleQueue } from "./sample-queue.ts";

/**
 * A time stamp may be off by this much before it counts as a hole or an overlap. Matroska rounds to 1 ms and
 * phones stamp their sound by a clock that wanders a little; the shortest frame that can be lost is longer
 * (AAC at 96 kHz: 10.7 ms). Seconds.
 */
const jitterSeconds = 0.005;

/** Where a stream lies on the local clock, in its own samples. */
export interface Placement {
  readonly sampleRateHz: number;
  /** Seconds a tick of the container's clock. */
  readonly tickSeconds: number;
  /** Local time of a codec frame's first sample; all others lie whole frames from it. Seconds. */
  readonly gridSeconds: number;
  /** No sample lies behind this: later stamps are damage. */
  readonly lastSample: number;
}

/**
 * Puts decoded frames of one stream where their time stamps say, sample by sample: holes come as silence,
 * overlaps are dropped, jitter is left alone.
 */
export class SoundPlacer {
  readonly queue: SampleQueue;
  readonly #placement: Placement;
  /** Sample number that follows what was placed last; unknown after a seek. */
  #expected: number | undefined;
  /** Sample number of the queue's end. */
  #filledTo: number;

  /**
   * @param from - Sample number at which the queue is to begin.
   */
  constructor(placement: Placement, channels: number, from: number) {
    this.#placement = placement;
    this.queue = new SampleQueue(channels);
    this.#filledTo = from;
  }

  /** Sample number that the queue reaches up to, exclusive. */
  get filledTo(): number {
    return this.#filledTo;
  }

  /**
   * @param localSeconds - The frame's stamp on the local clock; null where it has none.
   * @param channels - The wanted channels of the frame.
   */
  place(localSeconds: number | null, channels: readonly Float32Array[]): void {
    const count = channels[0]?.length ?? 0;
    let at = this.#expected ?? this.#filledTo;
    if (localSeconds !== null) {
      const stamped = this.#onGrid(localSeconds, count);
      const jitter = this.#expected === undefined ? 0 : jitterSeconds * this.#placement.sampleRateHz;
      if (Math.abs(stamped - at) > jitter && stamped <= this.#placement.lastSample) at = stamped;
    }
    this.#expected = at + count;
    const end = at + count;
    if (end <= this.#filledTo) return;
    this.queue.pushSilence(at - this.#filledTo);
    const skip = Math.max(0, this.#filledTo - at);
    this.queue.push(skip === 0 ? channels : channels.map((channel) => channel.subarray(skip)));
    this.#filledTo = end;
  }

  /**
   * The nearest sample number; where the clock is coarser than a sample, the nearest one on which a frame can
   * begin, so that a read that starts in the middle places sound as a read from the start does.
   */
  #onGrid(localSeconds: number, frameLength: number): number {
    const { sampleRateHz, tickSeconds, gridSeconds } = this.#placement;
    const stamped = localSeconds * sampleRateHz;
    if (tickSeconds * sampleRateHz > 1.5 && frameLength > 0) {
      const grid = Math.round(gridSeconds * sampleRateHz);
      const candidate = grid + Math.round((stamped - grid) / frameLength) * frameLength;
      if (Math.abs(candidate - stamped) <= 1.5 * tickSeconds * sampleRateHz) return candidate;
    }
    return Math.round(stamped);
  }
}
