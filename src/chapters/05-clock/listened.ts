import type { SoundStretch } from "./compact-sound.ts";
import type { Onsets } from "./onsets.ts";

/** What a pair of recordings is compared by. */
export interface Listened {
  readonly sound: SoundStretch;
  readonly onsets: Onsets;
  readonly seconds: number;
  /** The microphone sits on the sitter: in it the sitter is the loud one. */
  readonly isNear?: boolean;
}
