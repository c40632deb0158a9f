import type { TalkerStretch } from "#science/speech/two-talkers";
import { countOf } from "#science/units/number-words";
import type { DroppedStretch, KeptStretch, StoryMaterial } from "./story-material.ts";

/** What a person decided about the cut. */
export interface StoryDecisions {
  readonly keepQuestions: boolean;
  /** Pauses longer than this are folded, seconds. */
  readonly longestPause: number;
}

/** Silence left around a crease, seconds: after the last word and before the next; together a natural short pause. */
const afterWord = 0.25;
const beforeWord = 0.15;
/** An answer may breathe out a little longer. */
const afterAnswer = 0.4;
/** The sitter's talk before the clap that amounts to less than this is the slate and settling down; seconds. */
const mostSlateTalk = 20;
/** The sitter's talk between the clap and the first question that amounts to less than this is no answer; seconds. */
const mostChat = 3;
/** A word of encouragement is shorter than this, a question longer; seconds. */
const leastQuestion = 0.5;
/** How far a cut may move to fall where it is quietest, seconds. */
const quietReach = 0.06;
/** Leaving out less than this is not worth a join, seconds. */
const leastCrease = 0.12;

/**
 * Chooses which stretches of the sitting go into the cut.
 *
 * What goes: everything before the first question (slate, claps, chart), the questions unless they are kept,
 * false starts, and the middle of long pauses. What stays keeps a natural short silence on both sides, and each
 * cut point falls on the quietest moment near it.
 *
 * @returns Kept and dropped stretches, in order; together they are the whole of [from, to) without overlap.
 */
export function chooseKept(
  material: StoryMaterial,
  decisions: StoryDecisions,
): { kept: KeptStretch[]; dropped: DroppedStretch[] } {
  const { phrases } = material;
  const first = firstKept(material);
  const isFalseStart = new Set(material.falseStarts.map(({ phrase }) => phrase));
  const stays = phrases.map(
    (phrase, i) => i >= first && !isFalseStart.has(i) && (phrase.who === "sitter" || decisions.keepQuestions),
  );

  const kept: {
    start: number;
    end: number;
    joinWhy: string;
    opensAnswer: boolean;
    breaks: { at: number; seconds: number }[];
  }[] = [];
  const dropped: DroppedStretch[] = [];
  const quiet = quietest(material);
  let previous = -1;
  for (let i = 0; i < phrases.length; i++) {
    if (!stays[i]) continue;
    const phrase = phrases[i]!;
    if (previous < 0) {
      const left = phrases[i - 1];
      const room = phrase.start - (left ? left.end : material.from);
      const start = quiet(phrase.start - Math.min(beforeWord, room / 2), phrase.start - room, phrase.start);
      const why = leadInWhy(material, i, isFalseStart);
      if (start > material.from + 1e-9) dropped.push({ start: material.from, end: start, why });
      kept.push({ start, end: phrase.end, joinWhy: "", opensAnswer: true, breaks: [] });
    } else {
      const last = kept.at(-1)!;
      const between = phrases.slice(previous + 1, i);
      const gap = phrase.start - phrases[previous]!.end;
      const crease = creaseBetween(phrases[previous]!, phrase, between, quiet);
      const folds = between.length > 0 || gap > decisions.longestPause;
      if (folds && crease.in - crease.out >= leastCrease) {
        const why = creaseWhy(between, previous + 1, isFalseStart, gap);
        last.end = crease.out;
        dropped.push({ start: crease.out, end: crease.in, why });
        kept.push({
          start: crease.in,
          end: phrase.end,
          joinWhy: why,
          opensAnswer: between.some(isQuestion),
          breaks: [],
        });
      } else {
        if (gap >= 0.12) last.breaks.push({ at: (phrases[previous]!.end + phrase.start) / 2, seconds: gap });
        last.end = phrase.end;
      }
    }
    previous = i;
  }
  const last = kept.at(-1);
  if (!last)
    return { kept: [], dropped: [{ start: material.from, end: material.to, why: "nobody speaks here" }] };
  const next = phrases[previous + 1];
  const room = (next ? next.start : material.to) - last.end;
  last.end = quiet(last.end + Math.min(afterAnswer, room / 2), last.end, last.end + room);
  if (material.to > last.end + 1e-9)
    dropped.push({ start: last.end, end: material.to, why: "after the last answer" });
  return { kept, dropped };
}

const isQuestion = (phrase: TalkerStretch): boolean =>
  phrase.who === "interviewer" && phrase.end - phrase.start >= leastQuestion;

/**
 * Index of the first phrase that can be part of the cut. To lose an answer is worse than to keep a word too many:
 * what the sitter says before the first question goes only if it is next to nothing, or the slate is clapped after it.
 */
function firstKept({ phrases, claps }: StoryMaterial): number {
  const talk = (until: number): number =>
    phrases.slice(0, until).reduce((sum, p) => sum + (p.who === "sitter" ? p.end - p.start : 0), 0);
  const clap = claps[0];
  const afterClap =
    clap === undefined
      ? 0
      : Math.max(
          0,
          phrases.findIndex(({ start }) => start > clap),
        );
  const afterSlate = talk(afterClap) <= mostSlateTalk ? afterClap : 0;
  const question = phrases.findIndex(isQuestion);
  return question > afterSlate && talk(question) - talk(afterSlate) <= mostChat ? question : afterSlate;
}

/** What comes before the first kept phrase, in words. */
function leadInWhy(
  { phrases, claps }: StoryMaterial,
  firstStaying: number,
  isFalseStart: ReadonlySet<number>,
): string {
  const until = phrases[firstStaying]?.start ?? Number.POSITIVE_INFINITY;
  const before = phrases.slice(0, firstStaying);
  const parts = [
    claps.some((clap) => clap < until) ? "slate, clap" : "",
    before.some(isQuestion) ? "the first question" : "",
    before.some((_, i) => isFalseStart.has(i)) ? "a false start" : "",
  ].filter((part) => part !== "");
  return `before the first answer${parts.length > 0 ? `: ${listed(parts)}` : ""}`;
}

/** "a, b and c". */
function listed(parts: readonly string[]): string {
  return parts.length < 2 ? parts.join("") : `${parts.slice(0, -1).join(", ")} and ${parts.at(-1)}`;
}

/** The words that a page shows beside a crease. */
function creaseWhy(
  between: readonly TalkerStretch[],
  firstIndex: number,
  isFalseStart: ReadonlySet<number>,
  gapSeconds: number,
): string {
  if (between.length === 0) return `a pause of ${gapSeconds.toFixed(1)} s`;
  const questions = between.some(isQuestion);
  const words = between.some((p) => p.who === "interviewer" && !isQuestion(p));
  const tries = between.filter((_, k) => isFalseStart.has(firstIndex + k)).length;
  const parts = [
    questions ? "a question" : words ? "a word from the interviewer" : "",
    tries === 1 ? "a false start" : tries > 1 ? countOf(tries, "false start") : "",
  ].filter((part) => part !== "");
  return listed(parts);
}

/** Where the sound leaves before what is dropped and comes back after it. */
function creaseBetween(
  before: TalkerStretch,
  after: TalkerStretch,
  between: readonly TalkerStretch[],
  quiet: (at: number, from: number, to: number) => number,
): { out: number; in: number } {
  const firstGap = (between[0] ?? after).start - before.end;
  const lastGap = after.start - (between.at(-1) ?? before).end;
  const leaves = between.some(isQuestion) ? afterAnswer : afterWord;
  const out = before.end + Math.min(leaves, firstGap / 2);
  const back = after.start - Math.min(beforeWord, lastGap / 2);
  return {
    out: quiet(out, before.end, before.end + firstGap),
    in: quiet(back, after.start - lastGap, after.start),
  };
}

/** Moves a moment to the quietest step within reach, staying inside [from, to]. */
function quietest({
  level,
  from: levelFrom,
}: StoryMaterial): (at: number, from: number, to: number) => number {
  return (at, from, to) => {
    let best = at;
    let least = Number.POSITIVE_INFINITY;
    const steps = Math.round(quietReach / level.stepSeconds);
    for (let k = -steps; k <= steps; k++) {
      const moment = at + k * level.stepSeconds;
      if (moment < from || moment > to) continue;
      // The middle of three steps, and nearer moments first where all are equally quiet.
      const i = Math.round((moment - levelFrom) / level.stepSeconds);
      let loudest = Number.NEGATIVE_INFINITY;
      for (let near = Math.max(0, i - 1); near <= Math.min(level.db.length - 1, i + 1); near++)
        loudest = Math.max(loudest, level.db[near]!);
      if (loudest === Number.NEGATIVE_INFINITY) continue;
      const db = loudest + 0.2 * Math.abs(k);
      if (db >= least || Number.isNaN(db)) continue;
      least = db;
      best = moment;
    }
    return Math.min(Math.max(best, from), Math.max(from, to));
  };
}
