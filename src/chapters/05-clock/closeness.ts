import { quantileOf } from "#science/speech/power-meter";
import type { Listened } from "./listened.ts";

/** Frames over which a fall of level is taken: 48 ms. */
const fallFrames = 3;
/** The close microphone falls this much faster than the next; lavs in simulated rooms of 0.25 to 1 s: 1.4 to 1.8 times. */
const leastRatio = 1.3;

/**
 * How fast loud sound dies away in a recording, dB in 48 ms: the fastest twentieth of the falls from loud frames.
 * A room holds the sound of a distant microphone up; a lav hears speech stop.
 */
export function fastestFallDb(levelDb: Float32Array): number {
  const loud = quantileOf(levelDb, 0.95) - 12;
  const falls: number[] = [];
  for (let i = fallFrames; i < levelDb.length; i++)
    if (levelDb[i - fallFrames]! > loud) falls.push(levelDb[i - fallFrames]! - levelDb[i]!);
  return quantileOf(falls, 0.95);
}

/**
 * The recording that was made with the microphone nearest to the mouth, where one plainly was.
 *
 * @returns its index, or null where none stands out from the recordings of the other devices.
 */
export function closestMicrophone(
  heard: readonly (Listened | null)[],
  devices: readonly string[],
): number | null {
  const falls = heard
    .flatMap((h, index) => (h ? [{ index, fall: fastestFallDb(h.onsets.levelDb) }] : []))
    .sort((a, b) => b.fall - a.fall);
  const [first] = falls;
  const next = first && falls.find(({ index }) => devices[index] !== devices[first.index]);
  return next && first.fall >= leastRatio * Math.max(1, next.fall) ? first.index : null;
}
