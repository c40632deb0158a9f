import { minutesSeconds } from "./number-words.ts";

/** A moment as a finding names it, `0:41`; before sitting time 0 with a true minus, `−0:03`. */
export function momentFigure(seconds: number): string {
  return seconds <= -1 ? `−${minutesSeconds(-seconds)}` : minutesSeconds(seconds);
}

/** A duration as a finding names it: `0.8 s` under two seconds, then `6 s`, `1 min 20 s`. */
export function durationFigure(seconds: number): string {
  if (seconds < 1.95) return `${seconds.toFixed(1)} s`;
  const whole = Math.round(seconds);
  if (whole < 60) return `${whole} s`;
  return whole % 60 === 0 ? `${whole / 60} min` : `${Math.floor(whole / 60)} min ${whole % 60} s`;
}
