import { type CaptionLine, inOrder, onOneLine, type ReadCaptions } from "../captions/caption-line.ts";

/** `hh:mm:ss,mmm`; programs also write a point, one digit of hours, or fewer of the fraction. */
const time = String.raw`(\d{1,3}):([0-5]?\d):([0-5]?\d)(?:[,.](\d{1,3}))?`;
const times = new RegExp(`^[ \\t]*${time}[ \\t]*-->[ \\t]*${time}`, "u");

/**
 * The cues of an SRT file as plain lines. There is no standard; this reads what programs write (common practice): a
 * number, a line of times, lines of words, an empty line; numbers may be missing or repeat, and the words may carry
 * `<i>`-like and `{\an8}`-like marks, which are taken off. A name before a colon in capitals, or after a dash, is left in.
 *
 * @returns null where the text has no line of times at all.
 */
export function readSrt(text: string): ReadCaptions | null {
  const rows = text
    .replace(/^\ufeff/u, "")
    .replace(/\r\n?/gu, "\n")
    .split("\n");
  const starts = rows.flatMap((row, i) => (row.includes("-->") ? [i] : []));
  if (!starts.some((i) => times.test(rows[i]!))) return null;
  const lines: CaptionLine[] = [];
  let leftOut = 0;
  for (const [k, at] of starts.entries()) {
    const found = times.exec(rows[at]!);
    const next = starts[k + 1] ?? rows.length;
    // The number of the next cue stands right before its times, and belongs to it.
    const until = next < rows.length && /^\s*\d+\s*$/u.test(rows[next - 1] ?? "") ? next - 1 : next;
    const [start, end] = found ? [seconds(found, 1), seconds(found, 5)] : [0, 0];
    const words = onOneLine(plain(rows.slice(at + 1, until).join("\n")));
    if (end > start && words !== "") lines.push({ start, end, text: words });
    else leftOut++;
  }
  return { lines: inOrder(lines), leftOut };
}

const seconds = (found: RegExpExecArray, first: number): number => {
  const [h, m, s, fraction = "0"] = found.slice(first, first + 4);
  return Number(h) * 3600 + Number(m) * 60 + Number(s) + Number(`0.${fraction}`);
};

const plain = (text: string): string =>
  text.replace(/<\/?(?:[ibus]|font|c|v)\b[^>]*>/giu, "").replace(/\{\\[^}]*\}/gu, "");
