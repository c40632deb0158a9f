import type { ChannelRole, Recording } from "#documents/recording";
import { speedOfSound, usualDistanceMetres } from "./constants.ts";

/** Distance from the sitter's mouth to the microphone that a recording is placed by, metres; a custom, not a measurement. */
export function assumedDistanceMetres(recording: Recording, role: ChannelRole | null): number {
  if (role === "lav" || role === "boom" || role === "scratch" || role === "interviewer")
    return usualDistanceMetres[role];
  return recording.kind === "camera" ? usualDistanceMetres.scratch : usualDistanceMetres.lav;
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
