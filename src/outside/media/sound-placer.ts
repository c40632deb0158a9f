import { SampleQueue } from "./sample-queue.ts";
import { jitterSeconds } from "./timeline.ts";

/** Where a stream lies on the local clock, in its own samples. */
export interface Placement {
  readonly sampleRateHz: number;
  /** Seconds a tick of the container's clock. */
  readonly tickSeconds: number;
  /** Local time of a codec frame's first sample; all others lie whole frames from it. Seconds. */
  readonly gridSeconds: number;
  /** Samples of a whole codec frame. */
  readonly frameSamples: number;
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
   * The nearest sample number; where the clock is coarser than a sample, the nearest one at which a frame ends
   * whole frames from the others, so that a read that starts in the middle places sound as a read from the start
   * does. A frame that priming shortened lost its beginning: its end is where it would be.
   */
  #onGrid(localSeconds: number, count: number): number {
    const { sampleRateHz, tickSeconds, gridSeconds, frameSamples } = this.#placement;
    const stamped = localSeconds * sampleRateHz;
    if (tickSeconds * sampleRateHz > 1.5 && frameSamples > 0) {
      const grid = Math.round(gridSeconds * sampleRateHz);
      const end = grid + Math.round((stamped + count - grid) / frameSamples) * frameSamples;
      if (Math.abs(end - count - stamped) <= 1.5 * tickSeconds * sampleRateHz) return end - count;
    }
    return Math.round(stamped);
  }
}
