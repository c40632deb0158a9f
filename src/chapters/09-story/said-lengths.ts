import type { StorySaid } from "#documents/said";
import type { TalkerStretch } from "#science/speech/two-talkers";
import type { DroppedStretch, KeptStretch, StoryMaterial } from "./story-material.ts";

/** A hole or a rest shorter than this beside what a person said is not worth a join, seconds. */
const leastPart = 0.12;
/** A break between phrases shorter than this is no place for a change of angle, seconds. */
const leastBreak = 0.12;
const youFolded = "folded away by hand";

type Range = { readonly start: number; readonly end: number };
type Chosen = { readonly kept: readonly KeptStretch[]; readonly dropped: readonly DroppedStretch[] };

/**
 * Gives back what a person kept and takes away what a person folded, where Story chose otherwise. Where both are said
 * of one moment it is folded. The edges are the person's own, to the frame; nothing is moved to a quieter moment.
 *
 * @param chosen - What Story chose; it partitions [from, to) of the material, and so does the answer.
 */
export function withSaidLengths(
  chosen: Chosen,
  material: StoryMaterial,
  said: Pick<StorySaid, "kept" | "folded">,
): { kept: KeptStretch[]; dropped: DroppedStretch[] } {
  const inside = (list: readonly { from: number; to: number }[]): Range[] =>
    list
      .map(({ from, to }) => ({ start: Math.max(from, material.from), end: Math.min(to, material.to) }))
      .filter(({ start, end }) => end > start);
  const giveBack = inside(said.kept);
  const foldAway = inside(said.folded);
  if (giveBack.length === 0 && foldAway.length === 0)
    return { kept: [...chosen.kept], dropped: [...chosen.dropped] };
  const spans = away(together([...chosen.kept, ...giveBack], giveBack), foldAway);
  const untouched = new Map(chosen.kept.map((stretch) => [key(stretch), stretch]));
  const kept: KeptStretch[] = [];
  const dropped: DroppedStretch[] = [];
  let reached = material.from;
  for (const span of spans) {
    const gap = { start: reached, end: span.start };
    if (gap.end > gap.start) dropped.push({ ...gap, why: whyLeftOut(gap, chosen.dropped, foldAway) });
    const own = untouched.get(key(span));
    kept.push({
      ...span,
      joinWhy: kept.length === 0 ? "" : dropped.at(-1)!.why,
      opensAnswer: kept.length === 0 || opensAnswer(span, gap, chosen.kept),
      breaks: own?.breaks ?? breaksIn(span, material.phrases),
    });
    reached = span.end;
  }
  const rest = { start: reached, end: material.to };
  if (rest.end > rest.start) dropped.push({ ...rest, why: whyLeftOut(rest, chosen.dropped, foldAway) });
  return { kept, dropped };
}

const key = ({ start, end }: Range): string => `${start} ${end}`;
const meets = (a: Range, b: Range): boolean => a.start < b.end && b.start < a.end;

/** Ranges made one where they touch, or where the hole between them is next to nothing and one was given back. */
function together(ranges: readonly Range[], given: readonly Range[]): Range[] {
  const joined: { start: number; end: number }[] = [];
  for (const { start, end } of [...ranges].sort((a, b) => a.start - b.start || a.end - b.end)) {
    const last = joined.at(-1);
    const isBesideGiven = (): boolean =>
      given.some((one) => one.start === start || Math.abs(one.end - last!.end) < 1e-9);
    if (last && (start <= last.end || (start - last.end < leastPart && isBesideGiven())))
      last.end = Math.max(last.end, end);
    else joined.push({ start, end });
  }
  return joined;
}

/** Ranges without what was folded away; a rest beside a fold that is next to nothing goes with it. */
function away(ranges: readonly Range[], folded: readonly Range[]): Range[] {
  return folded.reduce<Range[]>(
    (left, fold) =>
      left.flatMap((range) =>
        meets(range, fold)
          ? [
              { start: range.start, end: fold.start },
              { start: fold.end, end: range.end },
            ].filter(({ start, end }) => end - start >= leastPart)
          : [range],
      ),
    [...ranges],
  );
}

/** The reason of what covers most of a gap. */
function whyLeftOut(gap: Range, reasons: readonly DroppedStretch[], folded: readonly Range[]): string {
  let best = { why: youFolded, seconds: 0 };
  const weigh = (range: Range, why: string): void => {
    const seconds = Math.min(gap.end, range.end) - Math.max(gap.start, range.start);
    if (seconds > best.seconds) best = { why, seconds };
  };
  for (let i = firstAfter(reasons, gap.start); i < reasons.length && reasons[i]!.start < gap.end; i++)
    weigh(reasons[i]!, reasons[i]!.why);
  for (const fold of folded) weigh(fold, youFolded);
  return best.why;
}

/** An answer begins where one began that is still begun after the gap. */
const opensAnswer = (span: Range, gap: Range, before: readonly KeptStretch[]): boolean =>
  before.some(
    ({ start, opensAnswer: opens }) => opens && start > gap.start && start <= span.start + leastPart,
  );

/** Breaks between phrases that lie wholly inside a stretch. */
function breaksIn({ start, end }: Range, phrases: readonly TalkerStretch[]): KeptStretch["breaks"] {
  const breaks: { at: number; seconds: number }[] = [];
  for (
    let i = Math.max(1, firstAfter(phrases, start));
    i < phrases.length && phrases[i - 1]!.end < end;
    i++
  ) {
    const seconds = phrases[i]!.start - phrases[i - 1]!.end;
    const at = phrases[i - 1]!.end + seconds / 2;
    if (seconds >= leastBreak && at > start && at < end) breaks.push({ at, seconds });
  }
  return breaks;
}

/** Index of the first of a list in order that ends after a moment. */
function firstAfter(list: readonly Range[], moment: number): number {
  let [low, high] = [0, list.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (list[middle]!.end > moment) high = middle;
    else low = middle + 1;
  }
  return low;
}
