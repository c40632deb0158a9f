import type { Recording } from "#documents/recording";
import { reelName } from "#formats/edl/write-edl";
import { frameFromTimecode } from "#science/timecode/timecode-label";
import type { Rate } from "#science/timecode/timecode-rate";
import type { HandoverInputs } from "./handover-inputs.ts";

/** One picture of the cut, counted in whole frames. */
export interface ProgramShot {
  readonly event: HandoverInputs["story"]["events"][number];
  readonly source: SourceFile;
  /** Frames of the program, from its first. */
  readonly startFrame: number;
  readonly frames: number;
  /** What was left out just before, where sitting time jumps; `null` where it runs on. */
  readonly crease: { readonly seconds: number; readonly why: string } | null;
}

/** A stretch of the program in which sitting time runs on: one piece of sound. */
export interface ProgramRun {
  readonly startFrame: number;
  readonly frames: number;
  /** Sitting time of its start, seconds. */
  readonly sittingStart: number;
  readonly crease: ProgramShot["crease"];
}

/** An original as an editing program knows it. */
export interface SourceFile {
  readonly recording: Recording;
  readonly reel: string;
  readonly rate: Rate;
  /** Number of its first frame, by its own timecode; 0 where it has none. */
  readonly firstFrame: number;
  readonly dropFrame: boolean;
  /** Whole frames that it holds. */
  readonly frames: number;
}

/** The cut as the files that are handed over need it. */
export interface Program {
  readonly title: string;
  readonly rate: Rate;
  readonly dropFrame: boolean;
  /** Number of the frame labelled 01:00:00:00, where programs begin (common practice). */
  readonly firstFrame: number;
  readonly frames: number;
  readonly shots: readonly ProgramShot[];
  readonly runs: readonly ProgramRun[];
  readonly sources: readonly SourceFile[];
  /** Recordings whose timecode could not be read. */
  readonly unreadable: readonly string[];
}

/** Counts a cut in frames and names its reels. */
export function programOf(inputs: HandoverInputs): Program {
  const { events, dropped, frameRate: rate } = inputs.story;
  const perSecond = rate.num / rate.den;
  const unreadable: string[] = [];
  const counts = new Map<string, number>();
  const sources = inputs.recordings
    .filter(({ probe }) => probe.picture !== null)
    .map((recording): SourceFile => {
      const count = (counts.get(recording.device) ?? 0) + 1;
      counts.set(recording.device, count);
      const { picture, timecode } = recording.probe;
      const own = picture!.frameRate;
      const dropFrame = timecode?.includes(";") ?? false;
      return {
        recording,
        reel: reelName(recording.device, count),
        rate: own,
        dropFrame,
        firstFrame: firstFrameOf(recording, own, dropFrame, unreadable),
        frames: framesHeld(recording, own),
      };
    });
  const bySource = new Map(sources.map((source) => [source.recording.hash, source]));
  const lead = sources.find(({ recording }) => recording.device === inputs.leadingCamera);
  const dropFrame = (lead?.dropFrame ?? false) && canDropFrames(rate);
  const shots = events.map((event, i): ProgramShot => {
    const startFrame = Math.round(event.start * perSecond);
    const jump = i === 0 ? 0 : event.sittingStart - events[i - 1]!.sittingEnd;
    const why = dropped.find(
      ({ start, end }) => start < event.sittingStart && end > event.sittingStart - jump,
    )?.why;
    return {
      event,
      source: bySource.get(event.hash)!,
      startFrame,
      frames: Math.round(event.end * perSecond) - startFrame,
      crease: Math.abs(jump) > 0.5 / perSecond ? { seconds: jump, why: why ?? "left out" } : null,
    };
  });
  const runs: { -readonly [K in keyof ProgramRun]: ProgramRun[K] }[] = [];
  for (const shot of shots) {
    const last = runs.at(-1);
    if (last && !shot.crease) last.frames += shot.frames;
    else
      runs.push({
        startFrame: shot.startFrame,
        frames: shot.frames,
        sittingStart: shot.event.sittingStart,
        crease: shot.crease,
      });
  }
  return {
    title: inputs.title,
    rate,
    dropFrame,
    firstFrame: frameFromTimecode("01:00:00:00", rate, dropFrame),
    frames: shots.reduce((sum, { frames }) => sum + frames, 0),
    shots,
    runs,
    sources,
    unreadable,
  };
}

/** Whole frames that can be read: a file that breaks off holds fewer than it claims. */
function framesHeld({ probe, readableSeconds }: Recording, rate: Rate): number {
  const { frames, durationSeconds, startSeconds } = probe.picture!;
  const claimed = frames ?? Math.floor((durationSeconds * rate.num) / rate.den + 1e-6);
  if (readableSeconds === undefined) return claimed;
  return Math.min(claimed, Math.floor(((readableSeconds - startSeconds) * rate.num) / rate.den + 1e-6));
}

/** Drop-frame counting exists at 29.97 and 59.94 alone (SMPTE ST 12-1). */
export const canDropFrames = ({ num, den }: Rate): boolean => den === 1001 && num % 30_000 === 0;

function firstFrameOf(recording: Recording, rate: Rate, dropFrame: boolean, unreadable: string[]): number {
  const label = recording.probe.timecode;
  if (label === null) return 0;
  try {
    return frameFromTimecode(label, rate, dropFrame);
  } catch {
    // A label that does not exist at this rate: the list then counts from the file's first frame, and says so.
    unreadable.push(recording.path);
    return 0;
  }
}

/** The source's own frame that is on screen at the start of a shot, counted from the file's first: the nearest. */
export function sourceFrame({ source, event }: ProgramShot): number {
  const start = source.recording.probe.picture!.startSeconds;
  const nearest = Math.round(((event.sourceStart - start) * source.rate.num) / source.rate.den);
  return Math.min(Math.max(0, nearest), Math.max(0, source.frames - 1));
}

export const sameRate = (a: Rate, b: Rate): boolean => a.num * b.den === b.num * a.den;
