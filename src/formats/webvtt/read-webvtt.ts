import { type CaptionLine, inOrder, onOneLine, type ReadCaptions } from "../captions/caption-line.ts";
import { readWebVttTime } from "./write-webvtt.ts";

/** Names of characters that cue text may hold. [WEBVTT] "cue text HTML character reference", the common ones */
const characters: Readonly<Record<string, string>> = {
  amp: "&",
  lt: "<",
  gt: ">",
  nbsp: "\u00a0",
  lrm: "\u200e",
  rlm: "\u200f",
  quot: '"',
  apos: "'",
};

/**
 * The cues of a WebVTT file as plain lines. Notes, styles, regions and settings are passed over; a cue whose times
 * cannot be read is left out and counted.
 *
 * @returns null where the text is no WebVTT: it does not open with its signature.
 *
 * Source: W3C WebVTT, sections 4.1 (file structure), 4.2.2 (cue text) and 6.1 (parsing). [WEBVTT]
 */
export function readWebVtt(text: string): ReadCaptions | null {
  const body = text
    .replace(/^\ufeff/u, "")
    .replace(/\r\n?/gu, "\n")
    .replaceAll("\0", "\ufffd");
  if (!/^WEBVTT(?:[ \t][^\n]*)?(?:\n|$)/u.test(body)) return null;
  const lines: CaptionLine[] = [];
  let leftOut = 0;
  for (const block of body.split(/\n{2,}/u).slice(1)) {
    const rows = block.split("\n").filter((row, i) => i > 0 || row !== "");
    const at = rows.findIndex((row) => row.includes("-->"));
    // Before the times stands at most an identifier; a block without times is a note, a style or a region.
    if (at < 0 || at > 1 || /^(?:NOTE|STYLE|REGION)(?:[ \t]|$)/u.test(rows[0]!)) continue;
    const times = /^[ \t]*(\S+?)[ \t]*-->[ \t]*(\S+)/u.exec(rows[at]!);
    const start = times && readWebVttTime(times[1]!);
    const end = times && readWebVttTime(times[2]!);
    const line =
      start !== null && end !== null && end > start
        ? cueLine(start, end, rows.slice(at + 1).join("\n"))
        : null;
    if (line) lines.push(line);
    else leftOut++;
  }
  return { lines: inOrder(lines), leftOut };
}

/** Null where the cue says nothing. */
function cueLine(start: number, end: number, payload: string): CaptionLine | null {
  const who = onOneLine(unescaped(/<v(?:\.[^\s>]*)?[ \t]+([^>]*)>/u.exec(payload)?.[1] ?? ""));
  const text = onOneLine(unescaped(payload.replace(/<[^>]*>?/gu, "")));
  if (text === "") return null;
  return { start, end, text, ...(who === "" ? {} : { who }) };
}

const unescaped = (text: string): string =>
  text.replace(
    /&(?:#(\d+)|#x([\da-f]+)|(\w+));/giu,
    (whole, decimal?: string, hex?: string, name?: string) => {
      if (name !== undefined) return characters[name] ?? whole;
      const point = decimal === undefined ? Number.parseInt(hex!, 16) : Number(decimal);
      return point > 0 && point <= 0x10ffff && !(point >= 0xd800 && point < 0xe000)
        ? String.fromCodePoint(point)
        : whole;
    },
  );
