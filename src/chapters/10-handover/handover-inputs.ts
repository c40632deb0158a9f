import type { Missing, SittingView } from "#documents/chapter";
import type { ClockResult, ColourResult, StoryResult, VoiceResult } from "#documents/chapter-results";
import { type Look, leadingDevice, looksOfDevice } from "#documents/look-of-device";
import type { Recording } from "#documents/recording";
import type { MarkSaid } from "#documents/said";
import { type ReportGround, reportGround } from "./report/report-ground.ts";

/** Everything that Handover depends on. */
export interface HandoverInputs {
  readonly title: string;
  readonly recordings: readonly Recording[];
  readonly leadingCamera: string;
  readonly placed: readonly Pick<
    ClockResult["recordings"][number],
    "hash" | "offset" | "ratePpm" | "pictureOffset" | "pieces"
  >[];
  readonly story: Pick<StoryResult, "frameRate" | "dropped" | "speech" | "lines" | "findings"> & {
    readonly events: readonly Omit<StoryResult["events"][number], "stills">[];
  };
  readonly voice: Pick<VoiceResult, "files" | "dialogueStart" | "roles">;
  readonly colour: Pick<ColourResult, "files" | "lut" | "viewLut"> | null;
  /** LUTs of each camera's device, in order of use, and when each serves. */
  readonly looks: Readonly<Record<string, readonly Look[]>>;
  /** Moments that somebody pointed at, sitting time. */
  readonly marks: readonly Pick<MarkSaid, "at" | "words">[];
  readonly loudnessTarget: number;
  readonly truePeakCeiling: number;
  /** For the printed report; not there where none is wanted. */
  readonly report?: ReportGround;
}

/** Picks Handover's inputs from a sitting; says what is missing where there is no cut or no sound yet. */
export function handoverInputs(view: SittingView): HandoverInputs | Missing {
  const { sitting, recordings, results } = view;
  const { clock, voice, colour, story } = results;
  if (!clock || !voice) return { missing: "There is no dialogue track yet. Run Clock and Voice first." };
  if (!story) return { missing: "There is no cut yet. Run Story first." };
  if (story.events.length === 0)
    return { missing: "The cut is empty: Story found no answer that a camera saw. See its findings." };
  const cameras = [
    ...new Set(
      recordings.filter(({ kind, probe }) => kind === "camera" && probe.picture).map((r) => r.device),
    ),
  ];
  const leadingCamera = leadingDevice(cameras);
  return {
    report: reportGround(view),
    title: sitting.title,
    recordings,
    leadingCamera,
    placed: clock.recordings.map(({ hash, offset, ratePpm, pictureOffset, pieces }) => ({
      hash,
      offset,
      ratePpm,
      pictureOffset,
      ...(pieces ? { pieces } : {}),
    })),
    story: {
      frameRate: story.frameRate,
      events: story.events.map(({ stills: _, ...event }) => event),
      dropped: story.dropped,
      speech: story.speech,
      ...(story.lines ? { lines: story.lines } : {}),
      findings: story.findings,
    },
    voice: { files: voice.files, dialogueStart: voice.dialogueStart, roles: voice.roles },
    colour: colour ? { files: colour.files, lut: colour.lut, viewLut: colour.viewLut } : null,
    looks: Object.fromEntries(cameras.map((d) => [d, looksOfDevice(colour, d, leadingCamera, cameras)])),
    marks: sitting.marks?.map(({ at, words }) => ({ at, words })) ?? [],
    loudnessTarget: sitting.decisions.loudnessTarget,
    truePeakCeiling: sitting.decisions.truePeakCeiling,
  };
}
