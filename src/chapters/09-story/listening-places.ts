import type { ChannelRole, Recording } from "#documents/recording";
import { type Placement, soundPlacement } from "#science/placement/placement";
import type { StoryInputs } from "./story-inputs.ts";

/** One channel of one recording, and where it lies in the sitting. */
export interface Ear {
  readonly recording: Recording;
  /** From 1. */
  readonly channel: number;
  readonly role: ChannelRole;
  readonly placement: Placement;
}

/** Every placed channel with its role; a channel that nobody gave a role counts as scratch sound. */
function ears({ recordings, placed, roles }: StoryInputs): Ear[] {
  return recordings.flatMap((recording) => {
    const at = placed.find(({ hash }) => hash === recording.hash);
    const placement = at ? soundPlacement(at) : null;
    if (!placement || !recording.probe.sound) return [];
    return Array.from({ length: recording.probe.sound.channels }, (_, c): Ear => {
      const role = roles.find((r) => r.hash === recording.hash && r.channel === c + 1)?.role ?? "scratch";
      return { recording, channel: c + 1, role, placement };
    });
  });
}

/**
 * The channels to listen to: the sitter's own microphone wherever there is one, all of one device, in order of
 * time; and for each a second ear that hears the interviewer comparatively better, if there is one.
 */
export function listeningPlaces(inputs: StoryInputs): { voice: Ear; others: Ear[] }[] {
  const all = ears(inputs).filter(({ role }) => role !== "timecode" && role !== "silent");
  const order: readonly ChannelRole[] = ["lav", "boom", "scratch", "interviewer"];
  const masterFirst = [...all].sort(
    (a, b) => Number(b.recording.hash === inputs.masterHash) - Number(a.recording.hash === inputs.masterHash),
  );
  const lead = order
    .map((role) => masterFirst.find((ear) => ear.role === role))
    .find((ear) => ear !== undefined);
  if (!lead) return [];
  const voices = all
    .filter((ear) => ear.role === lead.role && ear.recording.device === lead.recording.device)
    .filter((ear, i, list) => list.findIndex(({ recording }) => recording.hash === ear.recording.hash) === i)
    .sort((a, b) => a.placement.offset - b.placement.offset);
  return voices.map((voice) => {
    for (const role of ["interviewer", "boom", "scratch"] as const) {
      if (role === lead.role) continue;
      const same = all.filter((e) => e.role === role && e.recording.hash === voice.recording.hash);
      if (same.length > 0) return { voice, others: [same[0]!] };
      const elsewhere = all.filter((e) => e.role === role);
      const device = elsewhere[0]?.recording.device;
      const perRecording = elsewhere
        .filter((e) => e.recording.device === device)
        .filter((e, i, list) => list.findIndex(({ recording }) => recording.hash === e.recording.hash) === i);
      if (perRecording.length > 0) return { voice, others: perRecording };
    }
    return { voice, others: [] };
  });
}
