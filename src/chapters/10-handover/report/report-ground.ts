import type { SittingView } from "#documents/chapter";
import type {
  ChapterName,
  ClockResult,
  ColourResult,
  StoryResult,
  VoiceResult,
  WatchResult,
} from "#documents/chapter-results";
import type { Finding } from "#documents/finding";
import type { RoomResult } from "#documents/room-result";

/** What the printed report shows: of each chapter its sentence, its findings and what its figures need, nothing else. */
export interface ReportGround {
  readonly title: string;
  /** The day on which the sitting was made; its hour would make the same work another work. */
  readonly madeOn: string;
  readonly verdicts: Partial<Record<ChapterName, string>>;
  readonly findings: Partial<Record<ChapterName, readonly Finding[]>>;
  /** The plan and what its cameras see; null where no room was planned. */
  readonly room:
    | (Pick<RoomResult, "cameras" | "units"> & { readonly drawings: NonNullable<RoomResult["drawings"]> })
    | null;
  readonly clock: {
    readonly master: string;
    readonly recordings: readonly Omit<ClockResult["recordings"][number], "windows">[];
    readonly edges: NonNullable<ClockResult["edges"]>;
    readonly claps: ClockResult["claps"];
  } | null;
  readonly watch: readonly Omit<WatchResult["recordings"][number], "looks">[];
  readonly voice: Pick<VoiceResult, "segments" | "faults" | "roles" | "loudness" | "delay" | "polarity"> & {
    readonly envelopes: VoiceResult["envelopes"];
  };
  readonly colour: Pick<ColourResult, "charts" | "match" | "stills"> | null;
  readonly shots: readonly Pick<
    StoryResult["events"][number],
    "start" | "end" | "camera" | "why" | "sittingStart" | "sittingEnd" | "stills"
  >[];
}

/** The ground of a report from what was measured; voice and story are there, since Handover needs them too. */
export function reportGround({ sitting, results, verdicts = {} }: SittingView): ReportGround {
  const { room, clock, watch, voice, colour, story } = results;
  const findings: Partial<Record<ChapterName, readonly Finding[]>> = {};
  const sentences: Partial<Record<ChapterName, string>> = {};
  // These are all settled when Handover begins; others may be or not, and a report must not depend on chance.
  for (const name of ["room", "kit", "cards", "clock", "watch", "voice", "colour", "story"] as const) {
    if (results[name]) findings[name] = results[name].findings;
    if (results[name] && verdicts[name] !== undefined) sentences[name] = verdicts[name];
  }
  return {
    title: sitting.title,
    madeOn: sitting.createdAt.slice(0, 10),
    verdicts: sentences,
    findings,
    room: room?.drawings ? { cameras: room.cameras, units: room.units, drawings: room.drawings } : null,
    clock: clock
      ? {
          master: clock.master,
          recordings: clock.recordings.map(({ windows: _, ...row }) => row),
          edges: clock.edges ?? [],
          claps: clock.claps,
        }
      : null,
    watch: (watch?.recordings ?? []).map(({ looks: _, ...row }) => row),
    voice: {
      segments: voice?.segments ?? [],
      faults: voice?.faults ?? [],
      roles: voice?.roles ?? [],
      loudness: voice?.loudness ?? { integrated: -70, truePeak: -120, range: 0, target: 0 },
      delay: voice?.delay ?? null,
      polarity: voice?.polarity ?? null,
      envelopes: voice?.envelopes ?? [],
    },
    colour: colour ? { charts: colour.charts, match: colour.match, stills: colour.stills } : null,
    shots: (story?.events ?? []).map(({ start, end, camera, why, sittingStart, sittingEnd, stills }) => ({
      start,
      end,
      camera,
      why,
      sittingStart,
      sittingEnd,
      ...(stills && { stills }),
    })),
  };
}
