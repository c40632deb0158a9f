import type { Missing, SittingView } from "#documents/chapter";
import type { ClockResult, VoiceResult, WatchResult } from "#documents/chapter-results";
import { type Look, leadingDevice, looksOfDevice } from "#documents/look-of-device";
import type { Recording } from "#documents/recording";
import type { StorySaid, TranscriptSaid } from "#documents/said";
import type { StoryDecisions } from "./choose-kept.ts";

/** Where one recording lies, as the clock placed it. */
export type Placed = Pick<
  ClockResult["recordings"][number],
  "hash" | "offset" | "ratePpm" | "pictureOffset" | "pieces"
>;

/** Everything that Story depends on. */
export interface StoryInputs {
  readonly recordings: readonly Recording[];
  readonly masterHash: string;
  readonly placed: readonly Placed[];
  readonly claps: readonly number[];
  readonly bad: readonly { readonly hash: string; readonly ranges: readonly WatchedRange[] }[];
  readonly roles: VoiceResult["roles"];
  readonly decisions: StoryDecisions;
  readonly story: StorySaid;
  /** Transcripts that were brought in; each file is named by its content. */
  readonly transcripts: readonly Pick<TranscriptSaid, "file" | "name" | "recording">[];
  /** LUTs that make each device's stills look alike, and when each serves. */
  readonly looks: Readonly<Record<string, readonly Look[]>>;
}
type WatchedRange = Pick<
  WatchResult["recordings"][number]["ranges"][number],
  "start" | "end" | "kind" | "severity"
>;

/** Picks Story's inputs from a sitting; says what is missing where the clock, the voice or a camera is. */
export function storyInputs({ sitting, recordings, results }: SittingView): StoryInputs | Missing {
  const { clock, voice, watch, colour } = results;
  if (!clock) return { missing: "The recordings are not on one clock yet. Run Clock first." };
  if (!voice) return { missing: "No voice has been chosen yet. Run Voice first." };
  const cameras = recordings.filter(({ kind, probe }) => kind === "camera" && probe.picture !== null);
  if (cameras.length === 0)
    return { missing: "There is no picture to cut. Add at least one camera's recording to the sitting." };
  const placed = clock.recordings
    .filter(({ offset }) => offset !== null)
    .map(({ hash, offset, ratePpm, pictureOffset, pieces }) => ({
      hash,
      offset,
      ratePpm,
      pictureOffset,
      ...(pieces ? { pieces } : {}),
    }));
  if (!cameras.some(({ hash }) => placed.some((p) => p.hash === hash)))
    return { missing: "No camera's recording has been placed on the clock. See what Clock says of them." };
  const devices = [...new Set(cameras.map(({ device }) => device))];
  const leading = leadingDevice(devices);
  const master = clock.recordings.find(({ path, hash }) => path === clock.master || hash === clock.master);
  return {
    recordings,
    masterHash: master?.hash ?? placed[0]!.hash,
    placed,
    claps: clock.claps.map(({ at }) => at),
    bad: (watch?.recordings ?? []).map(({ hash, ranges }) => ({
      hash,
      ranges: ranges.map(({ start, end, kind, severity }) => ({ start, end, kind, severity })),
    })),
    roles: voice.roles,
    decisions: {
      keepQuestions: sitting.decisions.keepQuestions,
      longestPause: sitting.decisions.longestPause,
    },
    story: {
      angles: sitting.story?.angles.map(({ from, to, camera }) => ({ from, to, camera })) ?? [],
      kept: sitting.story?.kept.map(({ from, to }) => ({ from, to })) ?? [],
      folded: sitting.story?.folded.map(({ from, to }) => ({ from, to })) ?? [],
    },
    transcripts: sitting.transcripts?.map(({ file, name, recording }) => ({ file, name, recording })) ?? [],
    looks: Object.fromEntries(
      devices.map((device) => [device, looksOfDevice(colour, device, leading, devices)]),
    ),
  };
}
