import type { Recording } from "./recording.ts";

/*
 * What a chapter may ask of media. The layer that touches FFmpeg implements it; tests may implement it from
 * arrays. One rule of time holds everywhere: local time 0 is the file's first sample or frame (whichever is
 * presented first, edit lists and encoder priming applied).
 */

/** Consecutive samples; sample k of the block is at local time (firstSample + k) / sampleRateHz, exactly. */
export interface SoundBlock {
  readonly firstSample: number;
  /** One array per asked-for channel, equal lengths, full scale ±1. The arrays are the caller's to keep. */
  readonly channels: readonly Float32Array[];
}

export interface SoundWish {
  readonly sampleRateHz: number;
  /** Channel numbers from 1, `all`, or `mix` for the mean of all. Default `all`. */
  readonly channels?: readonly number[] | "all" | "mix";
  /** Local time range [start, end), seconds. The first block then starts at round(start × rate). */
  readonly startSeconds?: number;
  readonly endSeconds?: number;
  /** Samples per block; the last may be shorter. Default 65 536. */
  readonly blockSamples?: number;
}

/** An 8-bit picture for looking: R, G, B interleaved, row by row, top first; size as displayed, rotation applied. */
export interface SmallPicture {
  readonly atSeconds: number;
  readonly width: number;
  readonly height: number;
  readonly rgb: Uint8Array;
}

/**
 * An exact frame for measuring: R, G, B interleaved, 0 and 65 535 being black and white of the stream's own
 * range, by the stream's own matrix (untagged: BT.709 from 720 lines up, else BT.601). Code values, not light.
 */
export interface DeepPicture {
  readonly atSeconds: number;
  readonly width: number;
  readonly height: number;
  readonly rgb: Uint16Array;
}

export interface MediaReader {
  /** Sound as a stream; never the whole file in memory. Gaps in the file come as silence. */
  sound(recording: Recording, wish: SoundWish): AsyncIterable<SoundBlock>;
  /**
   * Key frames only, at a size that fits in `maxWidth` (never enlarged), in order, at least `spacingSeconds` apart
   * (0.4 by default). Cheap.
   */
  keyPictures(
    recording: Recording,
    wish: {
      readonly maxWidth: number;
      readonly startSeconds?: number;
      readonly endSeconds?: number;
      readonly spacingSeconds?: number;
    },
  ): AsyncIterable<SmallPicture>;
  /** Every frame in [start, end) at a size that fits in `maxWidth`, thinned to at most `perSecond`. */
  pictures(
    recording: Recording,
    wish: {
      readonly maxWidth: number;
      readonly startSeconds: number;
      readonly endSeconds: number;
      readonly perSecond: number;
    },
  ): AsyncIterable<SmallPicture>;
  /** The frames on screen at these local times (the last frame that starts at or before each), full size. */
  framesAt(recording: Recording, timesSeconds: readonly number[]): AsyncIterable<DeepPicture>;
}

/** Probability of speech for consecutive windows of 512 samples at 16 kHz (32 ms); window i starts at i × 0.032 s. */
export interface SpeechActivity {
  readonly windowSeconds: number;
  readonly probability: Float32Array;
}
