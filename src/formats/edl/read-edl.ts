import { ExplainedError } from "#errors/explained-error";
import { frameFromTimecode } from "#science/timecode/timecode-label";
import type { Rate } from "#science/timecode/timecode-rate";

/** One line of an edit decision list. Frames of the given rate; out points exclusive. */
export interface EdlEvent {
  readonly number: number;
  readonly reel: string;
  readonly channel: string;
  /** `C` cut, `D` dissolve, `Wnnn` wipe, `K` key. */
  readonly type: string;
  /** Length of the transition in frames; 0 for a cut. */
  readonly transitionFrames: number;
  readonly sourceIn: number;
  readonly sourceOut: number;
  readonly recordIn: number;
  readonly recordOut: number;
  readonly clipName: string | null;
  readonly comments: readonly string[];
}

/**
 * Reads an edit decision list in the eight-column layout.
 *
 * The list does not say its rate. Drop-frame is taken from `FCM:` lines, and from `;` in a label.
 *
 * @throws ExplainedError `DOCUMENT_INVALID`: a line that is no event, or a cut whose source and record lengths differ.
 * @throws ExplainedError `TIMECODE_NOT_A_FRAME`: a label that does not exist at this rate.
 *
 * Source: general layout as in the samples of OpenTimelineIO's CMX 3600 adapter.
 */
export function readEdl(text: string, rate: Rate): { title: string; dropFrame: boolean; events: EdlEvent[] } {
  let title = "";
  let drop = false;
  let headDrop: boolean | null = null;
  const events: (EdlEvent & { comments: string[]; clipName: string | null })[] = [];
  const moved = new Set<number>();
  for (const [i, raw] of text.split(/\r\n|\n|\r/).entries()) {
    const line = raw.trim();
    if (line === "") continue;
    const head = /^(TITLE|FCM):\s*(.*)$/.exec(line);
    if (head?.[1] === "TITLE") title = head[2]!;
    else if (head) {
      drop = !/^NON/.test(head[2]!);
      headDrop ??= drop;
    } else if (/^\d+\s/.test(line)) events.push(eventOf(line, i + 1, rate, drop));
    else if (/^M2\s/.test(line)) moved.add(events.length - 1);
    else {
      const event = events.at(-1);
      const comment = line.replace(/^\*\s*/, "");
      const name = /^FROM CLIP NAME:\s*(.*)$/.exec(comment);
      if (event && name) event.clipName = name[1]!.trim();
      else event?.comments.push(comment);
    }
  }
  for (const [i, event] of events.entries()) {
    const [source, record] = [event.sourceOut - event.sourceIn, event.recordOut - event.recordIn];
    if (source !== record && !moved.has(i))
      throw invalid(`Event ${event.number} takes ${source} frames of its source and fills ${record}.`, {
        event: event.number,
        source,
        record,
      });
  }
  return { title, dropFrame: headDrop ?? false, events };
}

function eventOf(
  line: string,
  lineNumber: number,
  rate: Rate,
  dropFrame: boolean,
): EdlEvent & { comments: string[]; clipName: string | null } {
  const fields = line.split(/\s+/);
  const labels = fields.slice(-4);
  const isEvent =
    (fields.length === 8 || fields.length === 9) && labels.every((l) => /^\d\d:\d\d:\d\d[:;]\d\d$/.test(l));
  if (!isEvent)
    throw invalid(`Line ${lineNumber} is no event: ${fields.length} fields instead of eight or nine.`, {
      line,
    });
  const [sourceIn, sourceOut, recordIn, recordOut] = labels.map((label) =>
    frameFromTimecode(label, rate, dropFrame || label.includes(";")),
  ) as [number, number, number, number];
  return {
    number: Number(fields[0]),
    reel: fields[1]!,
    channel: fields[2]!,
    type: fields[3]!,
    transitionFrames: fields.length === 9 ? Number(fields[4]) : 0,
    sourceIn,
    sourceOut,
    recordIn,
    recordOut,
    clipName: null,
    comments: [],
  };
}

function invalid(happened: string, facts: Readonly<Record<string, unknown>>): ExplainedError {
  return new ExplainedError(
    "DOCUMENT_INVALID",
    {
      happened,
      means: "The edit decision list cannot be followed from here on.",
      doNext: "Export the list again as an eight-column list of cuts, at the rate that you name.",
    },
    facts,
  );
}
