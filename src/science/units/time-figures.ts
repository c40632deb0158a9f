import { minutesSeconds } from "./number-words.ts";

/** A moment as a finding names it, `0:41`; before sitting time 0 with a true minus, `−0:03`. */
export function momentFigure(seconds: number): string {
  return seconds <= -1 ? `−${minutesSeconds(-seconds)}` : minutesSeconds(seconds);
}

/**
 * Hours and minutes of a plan's day: `48 min`, `3 h 12 min`, `2 h`; begun minutes are cut, so that nothing is said to last longer than
 * it does.
 *
 * @param minutes - 0 or more.
 */
export function hoursMinutes(minutes: number): string {
  const whole = Math.max(0, Math.floor(minutes + 1e-6));
  const [hours, rest] = [Math.floor(whole / 60), whole % 60];
  if (hours === 0) return `${rest} min`;
  return rest === 0 ? `${hours} h` : `${hours} h ${rest} min`;
}

/** A duration as a finding names it: `0.8 s` under two seconds, then `6 s`, `1 min 20 s`. */
export function durationFigure(seconds: number): string {
  if (seconds < 1.95) return `${seconds.toFixed(1)} s`;
  const whole = Math.round(seconds);
  if (whole < 60) return `${whole} s`;
  return whole % 60 === 0 ? `${whole / 60} min` : `${Math.floor(whole / 60)} min ${whole % 60} s`;
}
