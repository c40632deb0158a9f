import type { FigureWords } from "#science/drawing/marks";

/** A figure with a true minus sign; the report is read in any country, so a point divides it. */
export function figure(value: number, digits = 0): string {
  return value
    .toFixed(digits)
    .replace(/^-(?=.*[1-9])/, "−")
    .replace(/^-/, "");
}

/** A moment: 0:34, 12:05, 1:02:03; seconds are cut, as findings name moments. */
export function moment(seconds: number): string {
  const whole = Math.floor(Math.abs(seconds) + 1e-6);
  const two = (n: number): string => String(n).padStart(2, "0");
  const [h, m, s] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60, whole % 60];
  return `${seconds < 0 && whole > 0 ? "−" : ""}${h > 0 ? `${h}:${two(m)}` : m}:${two(s)}`;
}

/** A moment to the tenth: 0:34.5. */
export function exactMoment(seconds: number): string {
  const tenths = Math.round(Math.abs(seconds) * 10);
  return `${seconds < 0 && tenths > 0 ? "−" : ""}${moment(Math.floor(tenths / 10))}.${tenths % 10}`;
}

/** A day from its ISO date: "6 November 2026". */
export function day(date: string): string {
  const at = new Date(`${date}T00:00:00Z`);
  if (Number.isNaN(at.getTime())) return date;
  return at.toLocaleDateString("en-GB", { day: "numeric", month: "long", year: "numeric", timeZone: "UTC" });
}

/** A sentence as it is printed: with a printer's apostrophe inside words. */
export const printed = (sentence: string): string => sentence.replace(/(?<=\p{L})'(?=\p{L})/gu, "’");

/** Milliseconds as few digits as tell: "5.2 ms", "0.02 ms". */
export function milliseconds(seconds: number): string {
  const ms = seconds * 1e3;
  const size = Math.abs(ms);
  return `${figure(ms, size >= 100 ? 0 : size >= 1 ? 1 : 2)} ms`;
}

/** The last part of a path. */
export const fileName = (path: string): string => path.split(/[/\\]/).at(-1)!;

/** The class of a device's hue: cameras A and B own the only two. */
export const hueOf = (device: string): "a" | "b" | "n" => (device === "A" ? "a" : device === "B" ? "b" : "n");

/** A colour for the screen from sRGB 0..1. */
export const screenColour = (rgb: readonly number[]): string =>
  `rgb(${rgb.map((v) => (Math.min(1, Math.max(0, v)) * 255).toFixed(1)).join(" ")})`;

export const reportWords: FigureWords = { number: figure, moment };
