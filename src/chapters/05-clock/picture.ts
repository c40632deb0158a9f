import type { ChannelRole, Recording } from "#documents/recording";
import { speedOfSound, usualDistanceMetres } from "./constants.ts";

/** Distance from the sitter's mouth to the microphone that a recording is placed by, metres; a custom, not a measurement. */
export function assumedDistanceMetres(recording: Recording, role: ChannelRole | null): number {
  if (role === "lav" || role === "boom" || role === "scratch" || role === "interviewer")
    return usualDistanceMetres[role];
  return recording.kind === "camera" ? usualDistanceMetres.scratch : usualDistanceMetres.lav;
}

/**
 * Where the picture's local time 0 lies in sitting time.
 *
 * Placed by sound, a distant recording lies too early by the time that the sound took to reach it: what is seen at
 * local time t is heard at t + d / c. The picture therefore begins d / c after the sound's place.
 *
 * @returns null for recordings without picture.
 */
export function pictureOffset(recording: Recording, role: ChannelRole | null, offset: number): number | null {
  if (!recording.probe.picture) return null;
  return offset + assumedDistanceMetres(recording, role) / speedOfSound;
}
