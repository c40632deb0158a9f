import { counted, number } from "./numbers.ts";

/**
 * A moment as people say it: 0:34, 12:05, 1:02:03, seconds cut as a clock shows them and as findings name moments;
 * `tenths` adds one decimal, rounded.
 *
 * @param seconds - Seconds from the start; negative gets a true minus.
 */
export function clockTime(seconds: number, tenths = false): string {
  const unit = tenths ? 10 : 1;
  const whole = tenths ? Math.round(Math.abs(seconds) * unit) : Math.floor(Math.abs(seconds) + 1e-6);
  const sign = seconds < 0 && whole > 0 ? "−" : "";
  const total = Math.floor(whole / unit);
  const h = Math.floor(total / 3600);
  const m = Math.floor(total / 60) % 60;
  const s = String(total % 60).padStart(2, "0");
  const fraction = tenths ? `${number(0.1, 1).charAt(1)}${whole % unit}` : "";
  return `${sign}${h > 0 ? `${h}:${String(m).padStart(2, "0")}` : m}:${s}${fraction}`;
}

/** A length in words that stay short: "0.8 s", "12 s", "1 min 14 s", "1 h 5 min". */
export function length(seconds: number): string {
  if (seconds < 9.95) return `${number(seconds, 1)} s`;
  const whole = Math.round(seconds);
  if (whole < 60) return `${whole} s`;
  const m = Math.floor(whole / 60);
  if (m < 60) return whole % 60 === 0 ? `${m} min` : `${m} min ${whole % 60} s`;
  return m % 60 === 0 ? `${Math.floor(m / 60)} h` : `${Math.floor(m / 60)} h ${m % 60} min`;
}

/** A length read aloud: "58 seconds", "one minute" is left as "1 minute". */
export function spokenLength(seconds: number): string {
  const whole = Math.round(seconds);
  const part = (value: number, noun: string) => `${value} ${noun}${value === 1 ? "" : "s"}`;
  if (whole < 100) return part(whole, "second");
  const m = Math.round(whole / 60);
  if (m < 100) return part(m, "minute");
  return `${part(Math.floor(m / 60), "hour")}${m % 60 ? ` and ${part(m % 60, "minute")}` : ""}`;
}

/** A small time with its fitting unit: "34 ms", "0.12 ms", "1.4 s". */
export function smallTime(seconds: number): string {
  const ms = Math.abs(seconds) * 1000;
  if (ms >= 1000) return `${number(seconds, 1)} s`;
  return `${number(seconds * 1000, ms >= 10 ? 0 : ms >= 1 ? 1 : 2)} ms`;
}

/** How close things lie, as a bound: never finer than a hundredth of a millisecond, which nobody can use. */
export function closeTime(seconds: number): string {
  return smallTime(Math.max(Math.abs(seconds), 1e-5));
}

/** How long work takes yet, as people say it: "about two minutes left", "a few seconds left". */
export function leftWords(seconds: number): string {
  if (seconds < 8) return "a few seconds left";
  if (seconds < 55) return `about ${Math.round(seconds / 10) * 10} seconds left`;
  const minutes = Math.round(seconds / 60);
  if (minutes < 60) return `about ${counted(Math.max(1, minutes), "minute")} left`;
  const hours = Math.round(seconds / 1800) / 2;
  return `about ${number(hours, hours % 1 === 0 ? 0 : 1)} ${hours === 1 ? "hour" : "hours"} left`;
}
