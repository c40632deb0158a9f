import type { StoryResult } from "#documents/chapter-results";
import type { TalkerStretch } from "#science/speech/two-talkers";
import type { FalseStart } from "./story-material.ts";

type Line = NonNullable<StoryResult["lines"]>[number];

/** A line belongs to a phrase where this much of it lies within; share of the line. */
const belongs = 0.7;
/** A second try says the first word of the first again among its own first words. */
const firstWords = 4;

/**
 * False starts, weighed by what a transcript says was spoken: the same words again make one certain, other words are
 * no second try. Where the lines are too coarse to tell the two phrases apart, what was heard stays.
 *
 * @param lines - On sitting time, in order.
 */
export function weighedByWords(
  falseStarts: readonly FalseStart[],
  phrases: readonly TalkerStretch[],
  lines: readonly Line[],
): FalseStart[] {
  if (lines.length === 0) return [...falseStarts];
  return falseStarts.flatMap((one): FalseStart[] => {
    const [first, second] = [phrases[one.phrase], phrases[one.phrase + 1]];
    const said = first ? wordsIn(first, lines) : [];
    const again = second ? wordsIn(second, lines) : [];
    if (said.length === 0 || again.length === 0) return [one];
    const opensAlike = again.slice(0, firstWords).includes(said[0]!);
    return opensAlike ? [{ ...one, confidence: Math.max(one.confidence, 0.95) }] : [];
  });
}

function wordsIn({ start, end }: TalkerStretch, lines: readonly Line[]): string[] {
  return lines
    .filter((line) => {
      const within = Math.min(end, line.end) - Math.max(start, line.start);
      return within >= belongs * (line.end - line.start);
    })
    .flatMap(({ text }) => plainWords(text));
}

/** Words without punctuation, in small letters; what is in brackets describes and is not spoken. */
const plainWords = (text: string): string[] =>
  text
    .replace(/\[[^\]]*\]|\([^)]*\)/gu, " ")
    .toLowerCase()
    .match(/[\p{L}\p{N}]+(?:['’][\p{L}]+)*/gu) ?? [];
