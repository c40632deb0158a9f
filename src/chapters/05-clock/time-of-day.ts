import type { Recording } from "#documents/recording";
import { frameFromTimecode } from "#science/timecode/timecode-label";

/** When a recording began by its own label. */
export interface TimeOfDay {
  /** Seconds since midnight of local time 0. */
  readonly seconds: number;
  /** As it was written, for people. */
  readonly label: string;
  /** One picture, or one sample. */
  readonly grain: number;
}

/**
 * Start by BWF time reference (EBU Tech 3285), else by the timecode label of the first frame (SMPTE ST 12-1).
 *
 * @returns null where there is neither, where the label is not one of its rate, or where it is a round hour to the
 *   frame: counters that start with the recording begin so, and say nothing about the time of day.
 */
export function timeOfDay(recording: Recording): TimeOfDay | null {
  const { timeReferenceSamples, sound, timecode, picture } = recording.probe;
  if (timeReferenceSamples !== null && timeReferenceSamples > 0 && sound) {
    const seconds = timeReferenceSamples / sound.sampleRateHz;
    return {
      seconds: seconds - sound.startSeconds,
      label: clockTime(seconds),
      grain: 1 / sound.sampleRateHz,
    };
  }
  if (!timecode || !picture || /^\d\d:00:00[:;.]0[0-4]$/.test(timecode)) return null;
  const rate = picture.frameRate;
  try {
    const frame = frameFromTimecode(timecode, rate, /[;.]/.test(timecode));
    return {
      seconds: (frame * rate.den) / rate.num - picture.startSeconds,
      label: timecode,
      grain: rate.den / rate.num,
    };
  } catch {
    return null;
  }
}

const day = 86_400;

/** Difference of two times of day, the shorter way round midnight. */
export function secondsBetween(later: TimeOfDay, earlier: TimeOfDay): number {
  const difference = later.seconds - earlier.seconds;
  return difference - day * Math.round(difference / day);
}

function clockTime(seconds: number): string {
  const two = (n: number) => String(Math.floor(n)).padStart(2, "0");
  return `${two(seconds / 3600)}:${two((seconds / 60) % 60)}:${(seconds % 60).toFixed(3).padStart(6, "0")}`;
}
