import type { Recording } from "#documents/recording";
import { frameFromTimecode, framesPerDay } from "#science/timecode/timecode-label";

/** When a recording began by a label of its own. */
export interface TimeOfDay {
  /** Seconds since midnight of local time 0, by the label's own count: frames times the exact length of one. */
  readonly seconds: number;
  /** As it was written, for people. */
  readonly label: string;
  /** One picture, or one sample. */
  readonly grain: number;
  /** Length of a day of such labels: 86 399.9136 s in drop-frame, 86 486.4 s at 23.976 and 29.97 without. */
  readonly daySeconds: number;
  /** Seconds of label in one second of the recording's own clock. 1 where only the beginning is labelled. */
  readonly speed: number;
  readonly source: "heard" | "timeReference" | "track";
  /** How finely the label itself is known, seconds. */
  readonly doubt: number;
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
    const grain = 1 / sound.sampleRateHz;
    return {
      seconds: seconds - sound.startSeconds,
      label: clockTime(seconds),
      grain,
      daySeconds: day,
      speed: 1,
      source: "timeReference",
      doubt: grain,
    };
  }
  if (!timecode || !picture || /^\d\d:00:00[:;.]0[0-4]$/.test(timecode)) return null;
  const rate = picture.frameRate;
  try {
    const isDropFrame = /[;.]/.test(timecode);
    const frame = frameFromTimecode(timecode, rate, isDropFrame);
    const grain = rate.den / rate.num;
    return {
      seconds: frame * grain - picture.startSeconds,
      label: timecode,
      grain,
      daySeconds: framesPerDay(rate, isDropFrame) * grain,
      speed: 1,
      source: "track",
      // Anywhere within the frame.
      doubt: grain / Math.sqrt(12),
    };
  } catch {
    return null;
  }
}

const day = 86_400;

/**
 * Difference of two times of day, the shorter way round midnight. The day is as long as the labels of the one that
 * counts frames make it.
 */
export function secondsBetween(later: TimeOfDay, earlier: TimeOfDay): number {
  const length = later.daySeconds === day ? earlier.daySeconds : later.daySeconds;
  const difference = later.seconds - earlier.seconds;
  return difference - length * Math.round(difference / length);
}

function clockTime(seconds: number): string {
  const two = (n: number) => String(Math.floor(n)).padStart(2, "0");
  return `${two(seconds / 3600)}:${two((seconds / 60) % 60)}:${(seconds % 60).toFixed(3).padStart(6, "0")}`;
}
