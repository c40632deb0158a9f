import type { ChannelRole, Recording } from "#documents/recording";
import type { RoomResult } from "#documents/room-result";
import { speedOfSound, usualDistanceMetres } from "./constants.ts";

/** How far a microphone is from the sitter's mouth, and who says so: a person, the plan of the room, or custom. */
export interface MicrophoneDistance {
  readonly metres: number;
  readonly by: "said" | "plan" | "usual";
}

/** What the plan of the room says of ways from the sitter's mouth, metres. */
export interface PlannedDistances {
  /** By camera: to its lens, where its own microphone is. */
  readonly cameras: Readonly<Record<string, number>>;
  readonly lav?: number;
  readonly boom?: number;
}

/** The plan's ways to centimetres: a hair's breadth of a camera moved in the plan changes nothing in the sound. */
export function plannedDistances({ cameras, sound }: RoomResult): PlannedDistances {
  const centimetres = (metres: number) => Number(metres.toFixed(2));
  const of = (role: "lav" | "boom") => {
    const planned = sound.microphones.find((m) => m.role === role);
    return planned ? { [role]: centimetres(planned.metres) } : {};
  };
  return {
    cameras: Object.fromEntries(cameras.map(({ id, sitterMetres }) => [id, centimetres(sitterMetres)])),
    ...of("lav"),
    ...of("boom"),
  };
}

/**
 * Distance from the sitter's mouth to the microphone that a recording is placed by, metres: what a person said of
 * the device, else what the plan of the room has, else what is usual for the role (a custom, not a measurement).
 *
 * @param said - By device.
 * @param planned - Null where there is no plan.
 */
export function microphoneDistance(
  recording: Recording,
  role: ChannelRole | null,
  said: Readonly<Record<string, number>>,
  planned: PlannedDistances | null,
): MicrophoneDistance {
  const metres = said[recording.device];
  if (metres !== undefined) return { metres, by: "said" };
  const known = role === "lav" || role === "boom" || role === "scratch" || role === "interviewer";
  const usual = known ? role : recording.kind === "camera" ? "scratch" : "lav";
  const inPlan =
    usual === "lav" || usual === "boom"
      ? planned?.[usual]
      : usual === "scratch"
        ? planned?.cameras[recording.device]
        : undefined;
  return inPlan === undefined
    ? { metres: usualDistanceMetres[usual], by: "usual" }
    : { metres: inPlan, by: "plan" };
}

/**
 * Where the picture's local time 0 lies in sitting time: the place of the device's clock alone.
 *
 * Placed by sound, a microphone further off than the master's lies too early by the time that the sound took to
 * reach it: what is seen at local time t is heard (d - d of the master) / c later than in the master. The picture
 * is therefore moved later by that; the master's own picture stays where it is.
 *
 * @param metres - Distance from the mouth to the microphone that the recording is placed by.
 * @param masterMetres - The same of the master.
 * @returns null for recordings without picture.
 */
export function pictureOffset(
  recording: Recording,
  metres: number,
  masterMetres: number,
  offset: number,
): number | null {
  if (!recording.probe.picture) return null;
  return offset + (metres - masterMetres) / speedOfSound;
}
