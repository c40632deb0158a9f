import type { StoryResult } from "#documents/chapter-results";
import {
  countOf,
  durationWords,
  minutesSeconds,
  numberWords,
  openSentence,
} from "#science/units/number-words";

/** The sentence that opens the chapter: "Seventy-five seconds have become forty-one. All 6 cuts inside the sitter's answers change camera." */
export function storyVerdict({
  events,
  dropped,
  frameRate,
}: Pick<StoryResult, "events" | "dropped" | "frameRate">): string {
  const last = events.at(-1);
  if (!last) return "Nobody is heard to speak, so there is nothing to cut.";
  const before =
    dropped.reduce((sum, { start, end }) => sum + end - start, 0) +
    events.reduce((sum, event) => sum + event.end - event.start, 0);
  const frame = frameRate.den / frameRate.num;
  const joins = events.filter(
    (event, i) => i > 0 && event.sittingStart - events[i - 1]!.sittingEnd > frame / 2,
  );
  const kept = joins.filter((join) => events[events.indexOf(join) - 1]!.camera === join.camera);
  return `${openSentence(durationWords(before))} ${before >= 1.5 ? "have" : "has"} become ${lengthAlike(before, last.end)}. ${joinsSentence(
    joins.length,
    kept.map(({ start }) => start),
  )}`;
}

/** The second of two durations, without its unit where the first has the same. */
function lengthAlike(before: number, after: number): string {
  const [first, second] = [durationWords(before), durationWords(after)];
  const [unitBefore, unitAfter] = [first, second].map((text) => text.split(" ").at(-1));
  return unitBefore === unitAfter ? second.slice(0, -(unitAfter!.length + 1)) : second;
}

function joinsSentence(joins: number, withoutChange: readonly number[]): string {
  if (joins === 0) return "The sitter's answer runs through without a join.";
  const where = withoutChange.map(minutesSeconds).join(", ");
  if (withoutChange.length === joins)
    return joins === 1
      ? `The one cut inside the sitter's answers changes size, at ${where}.`
      : `${allOf(joins)} cuts inside the sitter's answers change size, not camera.`;
  const most =
    joins === 1
      ? "The one cut inside the sitter's answers changes camera"
      : `${allOf(joins)} cuts inside the sitter's answers change camera`;
  if (withoutChange.length === 0) return `${most}.`;
  return withoutChange.length === 1
    ? `${most}, save one at ${where}.`
    : `${most}, save ${countOf(withoutChange.length, "cut")} that change size.`;
}

const allOf = (count: number): string => (count === 2 ? "Both" : `All ${numberWords(count)}`);
