import type { OtioTimeline } from "./otio-document.ts";

/**
 * The text of an `.otio` file: UTF-8 JSON, four blanks of indent as the library itself writes.
 *
 * Counts and rates are doubles in the schema; they are written with a decimal point, so that a strict reader
 * never takes 25 for another type than 24000/1001.
 *
 * @throws TypeError where a number is not finite: JSON has no word for it.
 */
export function writeOtio(timeline: OtioTimeline): string {
  const text = JSON.stringify(
    timeline,
    (key, value: unknown) => {
      if (typeof value === "number" && !Number.isFinite(value)) throw new TypeError(`${key} is not finite`);
      return value;
    },
    4,
  );
  return `${text.replace(/^(\s*"(?:rate|value)": -?\d+)(,?)$/gm, "$1.0$2")}\n`;
}
