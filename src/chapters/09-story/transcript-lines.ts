import type { StoryResult } from "#documents/chapter-results";
import type { Finding } from "#documents/finding";
import { readCaptions } from "#formats/captions/read-captions";
import { sittingFromLocal, soundPlacement } from "#science/placement/placement";
import type { StoryInputs } from "./story-inputs.ts";

type Line = NonNullable<StoryResult["lines"]>[number];

const rounded = (seconds: number): number => Math.round(seconds * 1000) / 1000;

/** What transcripts gave, and what is to be told of those that gave nothing. */
export interface TranscriptsRead {
  readonly lines: readonly Line[];
  readonly findings: readonly Finding[];
}

/**
 * The lines of every transcript that was brought in, on sitting time and in order. One that cannot be read any more, or
 * that counts the time of a recording that is not placed, is told as a finding, and the cut is made without it.
 *
 * @param read - The text of a file of the sitting.
 */
export async function transcriptLines(
  { transcripts, placed }: Pick<StoryInputs, "transcripts" | "placed">,
  read: (file: string) => Promise<string>,
): Promise<TranscriptsRead> {
  const lines: Line[] = [];
  const findings: Finding[] = [];
  for (const { file, name, recording } of transcripts) {
    const own = placed.find(({ hash }) => hash === recording);
    const placement = recording === null ? { offset: 0, ratePpm: 0 } : own ? soundPlacement(own) : null;
    if (!placement) {
      findings.push(leftOut(name, "counts the time of a recording that has no place on the clock"));
      continue;
    }
    const found = await read(file)
      .then((text) => readCaptions(text, name).lines)
      .catch(() => null);
    if (!found) findings.push(leftOut(name, "cannot be read from the sitting's folder any more"));
    for (const { start, end, text, who } of found ?? [])
      lines.push({
        start: rounded(sittingFromLocal(placement, start)),
        end: rounded(sittingFromLocal(placement, end)),
        text,
        ...(who === undefined ? {} : { who }),
      });
  }
  return { lines: lines.sort((a, b) => a.start - b.start), findings };
}

const leftOut = (name: string, why: string): Finding => ({
  code: "story.transcript-left-out",
  weight: "warn",
  says: `The transcript ${name} ${why}.`,
  remedy: "Its words are not used. Take it out in Story, or bring it in again.",
});
