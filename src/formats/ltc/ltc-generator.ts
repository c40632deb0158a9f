import { frameFromTimecode, timecodeFromFrame } from "#science/timecode/timecode-label";
import type { Rate } from "#science/timecode/timecode-rate";
import { type LtcLabel, type LtcLayout, ltcBits, ltcWordBits } from "./ltc-word.ts";

/** A stretch of timecode to be written as sound. */
export interface LtcWish {
  /** Label of the first frame. */
  readonly start: string;
  readonly rate: Rate;
  readonly dropFrame?: boolean;
  readonly frames: number;
  readonly sampleRateHz: number;
  /** 8 groups as one number, user 1 lowest. Default 0. */
  readonly userBits?: number;
  readonly groupFlags?: LtcLabel["groupFlags"];
  readonly colourFrame?: boolean;
  /** Peak, full scale 1. Default 0.5. */
  readonly level?: number;
  /** Time of an edge from 10 to 90 %, seconds. Default 40 microseconds, common practice. */
  readonly riseSeconds?: number;
  /** Speed against the audio clock: 1.00002 is a source that runs 20 ppm fast. Default 1. */
  readonly speed?: number;
  /** Played backwards: the last frame first, each word from its end. */
  readonly reverse?: boolean;
  /** Seconds of silence before the first edge, any fraction of a sample. Default 0. */
  readonly leadSeconds?: number;
  /** Seconds of silence after the last edge. Default 0. */
  readonly tailSeconds?: number;
  /** Begins with the lower level; the meaning is the same. */
  readonly inverted?: boolean;
}

/**
 * Longitudinal timecode as sound: biphase mark, a transition at the start of every bit and one more in the middle
 * of a 1; edges lie between the samples as exactly as they are asked for, shaped to their rise time.
 *
 * @returns Mono samples, full scale 1.
 * @throws ExplainedError `TIMECODE_NOT_A_FRAME`, `TIMECODE_RATE_UNSUPPORTED`.
 *
 * Source: SMPTE ST 12-1 (2014), linear timecode: 80 bits a frame, biphase mark modulation. [ST12-1]
 *
 * @example
 * 01:02:03:04 at 25 and 48 kHz begins with runs of 24, 24, 12, 12, 24 and 24 samples.
 */
export function generateLtc(wish: LtcWish): Float32Array {
  const { sampleRateHz, rate, level = 0.5, speed = 1, leadSeconds = 0, tailSeconds = 0 } = wish;
  const edges = ltcEdges(wish);
  const cell = (sampleRateHz * rate.den) / (rate.num * speed * ltcWordBits);
  const lead = leadSeconds * sampleRateHz;
  const end = lead + wish.frames * ltcWordBits * cell;
  const sound = new Float32Array(Math.ceil(end + tailSeconds * sampleRateHz));
  // A raised cosine's slope goes from 10 to 90 % in 0.59 of its length.
  const width = Math.max(1e-6, ((wish.riseSeconds ?? 40e-6) * sampleRateHz) / 0.59);
  let sign = wish.inverted ? 1 : -1;
  for (let e = 0; e <= edges.length; e++) {
    // The flat stretches first; the edges' own shapes are laid over them below.
    const from = e === 0 ? 0 : lead + edges[e - 1]! * cell;
    const to = e === edges.length ? end : lead + edges[e]! * cell;
    if (e > 0) for (let i = Math.ceil(from); i < Math.min(to, sound.length); i++) sound[i] = sign * level;
    sign = -sign;
  }
  sign = wish.inverted ? 1 : -1;
  edges.forEach((edge, e) => {
    const at = lead + edge * cell;
    sign = -sign;
    const before = e === 0 ? 0 : -sign;
    const after = e === edges.length - 1 ? 0 : sign;
    for (let i = Math.max(0, Math.ceil(at - width / 2)); i < Math.min(sound.length, at + width / 2); i++) {
      const part = 0.5 - 0.5 * Math.cos(Math.PI * ((i - at) / width + 0.5));
      sound[i] = level * (before + part * (after - before));
    }
  });
  return sound;
}

/** Places of all edges in bit cells from the start, rising. */
function ltcEdges(wish: LtcWish): number[] {
  const { rate, dropFrame = false, frames } = wish;
  const first = frameFromTimecode(wish.start, rate, dropFrame);
  const layout: LtcLayout = Math.round(rate.num / rate.den) === 25 ? 25 : 30;
  const edges: number[] = [];
  for (let k = 0; k < frames; k++) {
    const frame = first + (wish.reverse ? frames - 1 - k : k);
    const [hours, minutes, seconds, number] = timecodeFromFrame(frame, rate, dropFrame)
      .split(/[:;]/)
      .map(Number) as [number, number, number, number];
    const bits = ltcBits(
      {
        hours,
        minutes,
        seconds,
        frames: number,
        dropFrame,
        colourFrame: wish.colourFrame ?? false,
        userBits: wish.userBits ?? 0,
        groupFlags: wish.groupFlags ?? [false, false, false],
      },
      layout,
    );
    for (let b = 0; b < ltcWordBits; b++) {
      edges.push(k * ltcWordBits + b);
      if (bits[wish.reverse ? ltcWordBits - 1 - b : b] === 1) edges.push(k * ltcWordBits + b + 0.5);
    }
  }
  // What ends the last bit.
  edges.push(frames * ltcWordBits);
  return edges;
}
