import type { StoryResult } from "#documents/chapter-results";
import type { Cue } from "#formats/webvtt/write-webvtt";
import type { Program } from "./program.ts";

/** What is left of a line at a join is not shown where it is shorter than this, seconds: nobody can read it. */
const shortest = 0.3;
/** Characters a row, and rows: common practice of captions. */
const rowLength = 42;

/**
 * Captions of the cut: the lines of the transcripts where their words are heard, on program time. A line of which a
 * part was left out stays for the part that is heard; lines that would lie over one another follow one another.
 */
export function captionCues(program: Program, lines: NonNullable<StoryResult["lines"]>): Cue[] {
  const seconds = (frames: number): number => (frames * program.rate.den) / program.rate.num;
  const cues: { start: number; end: number; text: string }[] = [];
  for (const run of program.runs) {
    const at = seconds(run.startFrame);
    const until = run.sittingStart + seconds(run.frames);
    for (const { start, end, text, who } of lines) {
      const from = Math.max(start, run.sittingStart);
      const to = Math.min(end, until);
      // Half of a line that was cut in two says the wrong thing: it goes with the longer part.
      if (to - from < shortest || to - from < (end - start) / 2) continue;
      cues.push({
        start: at + from - run.sittingStart,
        end: at + to - run.sittingStart,
        text: inRows(who === undefined ? text : `${who}: ${text}`),
      });
    }
  }
  cues.sort((a, b) => a.start - b.start);
  return cues.flatMap((cue, i): Cue[] => {
    const end = Math.min(cue.end, cues[i + 1]?.start ?? cue.end);
    return end - cue.start > 0.01 ? [{ ...cue, end }] : [];
  });
}

/** Two rows of about one length where one would be too long. */
function inRows(text: string): string {
  if (text.length <= rowLength) return text;
  const middle = text.length / 2;
  const breaks = [...text.matchAll(/ /gu)].map(({ index }) => index);
  const best = breaks.sort((a, b) => Math.abs(a - middle) - Math.abs(b - middle))[0];
  return best === undefined ? text : `${text.slice(0, best)}\n${text.slice(best + 1)}`;
}
