import type { ClockResult } from "#documents/chapter-results";
import { numberWords } from "#science/units/number-words";

type Named = Pick<ClockResult["recordings"][number], "device" | "hash" | "offset" | "path">;

const ordinals = [
  "first",
  "second",
  "third",
  "fourth",
  "fifth",
  "sixth",
  "seventh",
  "eighth",
  "ninth",
  "tenth",
];

/** What people call a recording: "camera B", "camera B's second file", "the recorder". Lower case; see {@link sentence}. */
export function nameOf(recording: Named, all: readonly Named[]): string {
  const device = /^[A-Z]$/.test(recording.device)
    ? `camera ${recording.device}`
    : recording.device === "sound"
      ? "the recorder"
      : /^sound\d+$/.test(recording.device)
        ? `recorder ${recording.device.slice(5)}`
        : fileName(recording, all);
  const siblings = all
    .filter((r) => r.device === recording.device)
    .map((r, i) => ({ r, i }))
    .sort((a, b) => (a.r.offset ?? 1e9) - (b.r.offset ?? 1e9) || a.i - b.i);
  if (siblings.length < 2 || !/^(camera |the |recorder )/.test(device)) return device;
  const index = siblings.findIndex(({ r }) => r.hash === recording.hash);
  return `${device}'s ${ordinals[index] ? `${ordinals[index]} file` : `file ${index + 1}`}`;
}

/** The file's own name; with its folder where another has the same. */
function fileName(recording: Named, all: readonly Named[]): string {
  const parts = recording.path.split(/[/\\]/);
  const last = (r: Named) => r.path.split(/[/\\]/).at(-1);
  const isShared = all.some((r) => r.hash !== recording.hash && last(r) === parts.at(-1));
  return parts.slice(isShared ? -2 : -1).join("/");
}

/** With a capital at the start; a file's name stays as it is. */
export function sentence(text: string): string {
  return /^(camera|the|recorder) /.test(text) ? text.charAt(0).toUpperCase() + text.slice(1) : text;
}

/** A number as one says it: three, 14. */
export function counted(n: number): string {
  return n === 0 ? "none" : n <= 10 ? numberWords(n) : String(n);
}

/** A length of time as one would say it: 34 ms, 3.217 s, 12 min 5 s. */
export function spoken(seconds: number): string {
  const size = Math.abs(seconds);
  if (size < 0.00995) return `${(size * 1e3).toFixed(size < 0.000995 ? 2 : 1)} ms`;
  if (size < 0.9995) return `${(size * 1e3).toFixed(0)} ms`;
  if (size < 120) return `${size.toFixed(size < 10 ? 3 : 2)} s`;
  const whole = Math.round(size);
  return `${Math.floor(whole / 60)} min ${whole % 60} s`;
}

/** Parts in a million: "12 parts in a million", "0.4 parts in a million". */
export function spokenPpm(ppm: number): string {
  const size = Math.abs(ppm);
  const figure = size < 9.95 ? size.toFixed(1) : size.toFixed(0);
  return `${figure} ${figure === "1" ? "part" : "parts"} in a million`;
}

/** Plus or minus, in milliseconds. */
export function spokenDoubt(seconds: number): string {
  const ms = seconds * 1e3;
  return `\u00b1${ms < 0.995 ? ms.toFixed(2) : ms < 9.95 ? ms.toFixed(1) : ms.toFixed(0)} ms`;
}

/** A moment in a recording: 0:31, 31:12, 1:03:12. */
export function clockOf(seconds: number): string {
  // Cut, not rounded, as every other chapter names its moments.
  const whole = Math.max(0, Math.floor(seconds + 1e-6));
  const two = (n: number) => String(n).padStart(2, "0");
  const hours = Math.floor(whole / 3600);
  const minutes = Math.floor(whole / 60) % 60;
  return hours > 0 ? `${hours}:${two(minutes)}:${two(whole % 60)}` : `${minutes}:${two(whole % 60)}`;
}
