import type { ChannelRole, Recording } from "#documents/recording";
import { speedOfSound, usualDistanceMetres } from "./constants.ts";

/** How far a microphone is from the sitter's mouth, and who says so. */
export interface MicrophoneDistance {
  readonly metres: number;
  readonly isSaid: boolean;
}

/**
 * Distance from the sitter's mouth to the microphone that a recording is placed by, metres: what a person said of
 * the device, else what is usual for the role (a custom, not a measurement).
 *
 * @param said - By device.
 */
export function microphoneDistance(
  recording: Recording,
  role: ChannelRole | null,
  said: Readonly<Record<string, number>>,
): MicrophoneDistance {
  const metres = said[recording.device];
  if (metres !== undefined) return { metres, isSaid: true };
  const known = role === "lav" || role === "boom" || role === "scratch" || role === "interviewer";
  const usual = known ? role : recording.kind === "camera" ? "scratch" : "lav";
  return { metres: usualDistanceMetres[usual], isSaid: false };
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
