import { envelopePath } from "./envelope-path.ts";
import { type Drawing, type FigureWords, type Mark, straight, tenth } from "./marks.ts";
import { roundTimes, scale } from "./nice-ticks.ts";

/** One microphone's loudness over the sitting, or the dialogue's. */
export interface HeardEnvelope {
  readonly name: string;
  /** `perSecond` values a second from sitting time `from`, 0..1. */
  readonly from: number;
  readonly perSecond: number;
  readonly peaks: readonly number[];
  /** What of it is heard in the dialogue, [start, end), sitting time. */
  readonly chosen: readonly { readonly start: number; readonly end: number }[];
  /** Faults in it, named. */
  readonly faults: readonly { readonly start: number; readonly end: number; readonly name: string }[];
}

/** A line of small type, in the drawing's units. */
const lineHeight = 14;

/** Names of faults at their heights; those too near each other for lines of their own share one. */
function namesOf(
  faults: HeardEnvelope["faults"],
  y: (time: number) => number,
): { at: number; names: string[] }[] {
  const lines: { at: number; names: string[] }[] = [];
  for (const { start, name } of faults.toSorted((p, q) => p.start - q.start)) {
    const last = lines.at(-1);
    if (!last || y(start) - last.at >= lineHeight) lines.push({ at: y(start), names: [name] });
    else if (!last.names.includes(name)) last.names.push(name);
  }
  return lines;
}

/** Both microphones and the dialogue side by side, time running down; what is heard is inked, faults lie on a band. */
export function voiceDrawing(
  envelopes: readonly HeardEnvelope[],
  { width, height }: { readonly width: number; readonly height: number },
  words: FigureWords,
): Drawing {
  const from = Math.min(...envelopes.map((e) => e.from));
  const to = Math.max(from + 1, ...envelopes.map((e) => e.from + e.peaks.length / e.perSecond));
  const [left, top] = [42, 28];
  const column = (width - left) / Math.max(1, envelopes.length);
  const half = Math.min(80, column * 0.38);
  const y = scale(from, to, top, height - 6);
  const marks: Mark[] = [];
  for (const time of roundTimes(from, to, 9)) {
    marks.push({ kind: "text", x: 0, y: tenth(y(time) + 4), text: words.moment(time), look: "q" });
    marks.push({ kind: "path", d: straight(left, y(time), width, y(time)), look: "rule" });
  }
  for (const [i, envelope] of envelopes.entries()) {
    const centre = left + column * (i + 0.5);
    marks.push({
      kind: "text",
      x: tenth(centre),
      y: 16,
      text: envelope.name,
      look: "head",
      anchor: "middle",
    });
    for (const fault of envelope.faults) {
      const high = Math.max(3, y(fault.end) - y(fault.start));
      marks.push({
        kind: "box",
        x: tenth(centre - half - 4),
        y: tenth(y(fault.start)),
        width: tenth(2 * half + 8),
        height: tenth(high),
        look: "wash",
      });
    }
    const end = envelope.from + envelope.peaks.length / envelope.perSecond;
    const whole = envelopePath(envelope, { start: envelope.from, end }, y, centre, half);
    if (whole) marks.push({ kind: "path", d: whole, look: "faint" });
    for (const stretch of envelope.chosen) {
      const d = envelopePath(envelope, stretch, y, centre, half);
      if (d) marks.push({ kind: "path", d, look: "fill-n" });
    }
    for (const { at, names } of namesOf(envelope.faults.slice(0, 12), y))
      marks.push({
        kind: "text",
        x: tenth(centre + half + 4),
        y: tenth(at - 3),
        text: names.join(", "),
        look: "q halo",
        anchor: "end",
      });
  }
  const faults = envelopes.reduce((sum, e) => sum + e.faults.length, 0);
  return {
    width,
    height,
    marks,
    says: `Loudness of ${envelopes.map((e) => e.name).join(", ")} from ${words.moment(from)} to ${words.moment(to)}, time running down; ${faults === 0 ? "no fault" : faults === 1 ? "one fault" : `${faults} faults`} marked.`,
  };
}
