import { lutsAt } from "#documents/look-of-device";
import {
  type OtioChild,
  type OtioMarker,
  type OtioTimeline,
  type OtioTrack,
  otioClip,
  otioGap,
  otioMarker,
  otioRange,
  otioTime,
  otioTimeline,
  otioTrack,
} from "#formats/otio/otio-document";
import { localFromSitting, type Placement, soundPlacement } from "#science/placement/placement";
import type { HandoverInputs } from "./handover-inputs.ts";
import { type Program, type ProgramRun, type ProgramShot, sourceFrame } from "./program.ts";
import { fileName } from "./program-edl.ts";
import { relativeUrl } from "./relative-url.ts";

/** A sound file that lies on sitting time, its first sample at `start`. */
export interface LaidSound {
  readonly name: string;
  readonly path: string;
  readonly start: number;
  readonly seconds: number;
  /** Whether the program is heard through it. */
  readonly isHeard: boolean;
}

/** Sound is counted in samples, so that a cut of it falls where it was made. */
const soundRate = { num: 48_000, den: 1 };

/**
 * The cut as one timeline: the picture as a single track of both cameras, the dialogue cut with it, and each
 * microphone by itself beneath, in step and switched off.
 *
 * @param at - Where the file will lie, relative to the sitting; media are named relative to it.
 */
export function programOtio(
  program: Program,
  inputs: HandoverInputs,
  sounds: readonly LaidSound[],
  at: string,
): OtioTimeline {
  const scratch = inputs.recordings.flatMap((recording) => scratchTrack(recording, program, inputs, at));
  return otioTimeline(
    program.title,
    otioTime(program.firstFrame, program.rate),
    [
      otioTrack(
        "picture",
        "Video",
        program.shots.map((shot) => pictureClip(shot, program, inputs, at)),
      ),
      ...sounds.map((sound) => soundTrack(sound, program, at)),
      ...scratch,
    ],
    { metadata: { gemel: { kind: "first-cut", frameRate: program.rate, dropFrame: program.dropFrame } } },
  );
}

function pictureClip(shot: ProgramShot, program: Program, inputs: HandoverInputs, at: string): OtioChild {
  const { source, event, frames } = shot;
  const first = source.firstFrame + sourceFrame(shot);
  // The same time on the program's clock, in the source's own frames; a fraction where the rates do not divide.
  const length = (frames * program.rate.den * source.rate.num) / (program.rate.num * source.rate.den);
  const placed = inputs.placed.find(({ hash }) => hash === event.hash);
  const seconds = (frames * program.rate.den) / program.rate.num;
  return otioClip(
    `${event.camera} ${fileName(event.path)}`,
    otioRange(first, length, source.rate),
    {
      name: fileName(event.path),
      url: relativeUrl(at, event.path),
      available: otioRange(source.firstFrame, source.frames, source.rate),
      metadata: { gemel: { hash: event.hash, reel: source.reel, timecode: source.recording.probe.timecode } },
    },
    {
      metadata: {
        gemel: {
          why: event.why,
          sittingStart: event.sittingStart,
          sourceStartSeconds: event.sourceStart,
          // How far this device's clock runs off within the shot; cut points are exact in any case.
          clockRatePpm: placed?.ratePpm ?? 0,
          clockDriftSeconds: ((placed?.ratePpm ?? 0) * 1e-6 * seconds) as number,
          ...(event.scale === undefined ? {} : { scale: event.scale }),
          // As they are handed over, beside this file.
          luts: lutsAt(inputs.looks[event.camera] ?? [], (event.sittingStart + event.sittingEnd) / 2).map(
            (path) => `luts/${fileName(path)}`,
          ),
        },
      },
      markers: markersOf(shot, first, inputs),
    },
  );
}

/** Creases at the head of a shot, Story's findings and what somebody pointed at, where they fall. */
function markersOf(
  shot: ProgramShot,
  first: number,
  { story, marks: pointedAt }: HandoverInputs,
): OtioMarker[] {
  const { source, event, crease } = shot;
  const mark = (
    name: string,
    colour: "YELLOW" | "RED" | "ORANGE" | "GREEN",
    frame: number,
    comment: string,
  ): OtioMarker => otioMarker(name, colour, otioRange(frame, 0, source.rate), { comment });
  const perSecond = source.rate.num / source.rate.den;
  const marks: OtioMarker[] = [];
  if (crease)
    marks.push(mark("crease", "YELLOW", first, `${crease.seconds.toFixed(1)} s left out: ${crease.why}`));
  for (const finding of story.findings) {
    const from = finding.evidence?.from;
    if (from === undefined || finding.weight === "note") continue;
    // A finding about a join lies in what was left out: it belongs to the shot after it.
    const opens = event.sittingStart - (crease?.seconds ?? 0);
    if (from < opens - 1e-6 || from >= event.sittingEnd - 1e-6) continue;
    const frame = first + Math.round(Math.max(0, from - event.sittingStart) * perSecond);
    marks.push(mark(finding.code, finding.weight === "stop" ? "RED" : "ORANGE", frame, finding.says));
  }
  for (const { at, words } of pointedAt) {
    if (at < event.sittingStart - 1e-6 || at >= event.sittingEnd - 1e-6) continue;
    const frame = first + Math.floor(Math.max(0, at - event.sittingStart) * perSecond + 1e-6);
    marks.push(mark("mark", "GREEN", frame, words));
  }
  return marks;
}

function soundTrack(sound: LaidSound, program: Program, at: string): OtioTrack {
  const samples = Math.round(sound.seconds * soundRate.num);
  const media = {
    name: fileName(sound.path),
    url: relativeUrl(at, sound.path),
    available: otioRange(0, samples, soundRate),
  };
  const children = program.runs.flatMap((run) => {
    const first = Math.round((run.sittingStart - sound.start) * soundRate.num);
    return clipOrGap(run, program, first, samples, (start, length) =>
      otioClip(sound.name, otioRange(start, length, soundRate), media),
    );
  });
  return otioTrack(sound.name, "Audio", children, { enabled: sound.isHeard });
}

/** What a file holds of a run, with gaps where it holds nothing; lengths in samples. */
function clipOrGap(
  run: ProgramRun,
  { rate }: Program,
  first: number,
  samples: number,
  clip: (start: number, length: number) => OtioChild,
): OtioChild[] {
  const length = (run.frames * rate.den * soundRate.num) / rate.num;
  const before = Math.min(length, Math.max(0, -first));
  const held = Math.max(0, Math.min(length, samples - first) - before);
  const after = length - before - held;
  return [
    ...(before > 0 ? [otioGap(before, soundRate)] : []),
    ...(held > 0 ? [clip(first + before, held)] : []),
    ...(after > 1e-6 ? [otioGap(after, soundRate)] : []),
  ];
}

/** The camera's own sound, straight from the original, for whoever wants to check the placement by ear. */
function scratchTrack(
  recording: HandoverInputs["recordings"][number],
  program: Program,
  inputs: HandoverInputs,
  at: string,
): OtioTrack[] {
  const channels = inputs.voice.roles.filter((r) => r.hash === recording.hash && r.role === "scratch");
  const placed = inputs.placed.find(({ hash }) => hash === recording.hash);
  const placement: Placement | null = placed ? soundPlacement(placed) : null;
  const { sound } = recording.probe;
  if (channels.length === 0 || !placement || !sound) return [];
  const source = program.sources.find((s) => s.recording.hash === recording.hash);
  // A camera's sound is named by the camera's own timecode, at the sound's own rate.
  const label = source
    ? Math.round((source.firstFrame * source.rate.den * soundRate.num) / source.rate.num)
    : 0;
  const samples = Math.round(sound.durationSeconds * soundRate.num);
  const media = {
    name: fileName(recording.path),
    url: relativeUrl(at, recording.path),
    available: otioRange(label, samples, soundRate),
    metadata: {
      gemel: { channels: channels.map(({ channel }) => channel), sampleRateHz: sound.sampleRateHz },
    },
  };
  const children = program.runs.flatMap((run) => {
    const first = Math.round(
      (localFromSitting(placement, run.sittingStart) - sound.startSeconds) * soundRate.num,
    );
    return clipOrGap(run, program, first, samples, (start, length) =>
      otioClip(`${recording.device} scratch`, otioRange(label + start, length, soundRate), media, {
        metadata: { gemel: { clockRatePpm: placement.ratePpm } },
      }),
    );
  });
  return [
    otioTrack(`${recording.device} scratch (${fileName(recording.path)})`, "Audio", children, {
      enabled: false,
    }),
  ];
}
