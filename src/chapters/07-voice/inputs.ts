import type { Recording } from "#documents/recording";
import type { SourceSaid } from "#documents/said";
import type { Placement } from "#science/placement/placement";

/** What the voice depends on: its content is the key under which the result is kept. */
export interface VoiceInputs {
  /** Recordings with sound that have a place in time, in the sitting's order. */
  readonly recordings: readonly { readonly recording: Recording; readonly placement: Placement }[];
  /** Recordings with sound that nobody could place: listened to, not mixed. */
  readonly unplaced: readonly string[];
  readonly loudnessTarget: number;
  readonly truePeakCeiling: number;
  /** Microphones that a person chose, sitting time; not there where nobody did. */
  readonly said?: readonly SourceSaid[];
}
