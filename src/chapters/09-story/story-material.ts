import type { Placement } from "#science/placement/placement";
import type { TalkerStretch } from "#science/speech/two-talkers";

/** What listening found; all that the choice of what to keep rests on. Times are sitting seconds. */
export interface StoryMaterial {
  /** The stretch of time that was listened to. */
  readonly from: number;
  readonly to: number;
  /** Phrases between breaks, in order, not overlapping. */
  readonly phrases: readonly TalkerStretch[];
  readonly falseStarts: readonly FalseStart[];
  /** Moments of claps. */
  readonly claps: readonly number[];
  /** Level of the voice's microphone, dB full scale, one value a step from `from` on; NaN where it does not matter. */
  readonly level: { readonly stepSeconds: number; readonly db: Float32Array };
  readonly twoTalkers: boolean;
  readonly separationDb: number;
}

/** A phrase that was broken off and begun again with the next. */
export interface FalseStart {
  /** Index of the phrase that was broken off. */
  readonly phrase: number;
  /** 0..1: how much nearer the two openings are than openings of other phrases. */
  readonly likeness: number;
  readonly confidence: number;
}

/** A stretch of the sitting that goes into the cut, seconds of sitting time. */
export interface KeptStretch {
  readonly start: number;
  readonly end: number;
  /** What was left out just before it, in words; empty for the first. */
  readonly joinWhy: string;
  /** Whether an answer begins here: a question was left out just before. */
  readonly opensAnswer: boolean;
  /** Moments between phrases where the camera may change, with the length of the break. */
  readonly breaks: readonly { readonly at: number; readonly seconds: number }[];
}

/** A stretch left out, and why in words. */
export interface DroppedStretch {
  readonly start: number;
  readonly end: number;
  readonly why: string;
}

/** One recording as a source of pictures, in sitting time. */
export interface PictureSource {
  readonly camera: string;
  /** First and last moment with a picture. */
  readonly from: number;
  readonly to: number;
  /** Ranges that the cut must avoid. */
  readonly bad: readonly BadRange[];
}

export interface BadRange {
  readonly start: number;
  readonly end: number;
  readonly kind: string;
  readonly severity: number;
}

/** A source of pictures, and which recording it is. */
export interface CutSource extends PictureSource {
  readonly hash: string;
  readonly path: string;
  readonly placement: Placement;
}
