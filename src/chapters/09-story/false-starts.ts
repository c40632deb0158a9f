import { openingDistance } from "#science/speech/opening-distance";
import { quantileOf } from "#science/speech/power-meter";
import type { TalkerStretch } from "#science/speech/two-talkers";
import type { FalseStart } from "./story-material.ts";

/** A phrase broken off is shorter than this, and the break before the second try lasts this long; seconds. */
const longestTry = 3;
const breakSeconds = { least: 0.15, most: 1.8 };
/** Seconds of an opening that are compared: enough for two or three words, within which a second try repeats. */
export const openingSeconds = 1.4;
const comparedSeconds = 0.8;
/** Below this share of the usual distance between openings, two are the same words (measured on the demo's voices). */
const sameWords = 0.62;

/** Whether a phrase and the next are near enough in time for the first to be a try at the second. */
export function mayBeFalseStart(phrases: readonly TalkerStretch[], index: number): boolean {
  const [phrase, next] = [phrases[index], phrases[index + 1]];
  if (!phrase || !next || phrase.who !== "sitter" || next.who !== "sitter") return false;
  const gap = next.start - phrase.end;
  return phrase.end - phrase.start < longestTry && gap >= breakSeconds.least && gap <= breakSeconds.most;
}

/**
 * Finds phrases that were broken off and begun again: short, followed by a break, and opening with the same
 * sound as the phrase after the break. "The same" is measured against how far this voice's other openings lie
 * from one another, so that neither the voice nor the microphone matters.
 *
 * @param openings - Cepstra of each phrase's opening, from its start, at most {@link openingSeconds}; `null` where
 *   not taken.
 * @returns One entry a phrase to leave out, in order. Fewer than three openings to compare with halve the confidence.
 */
export function findFalseStarts(
  phrases: readonly TalkerStretch[],
  openings: readonly (readonly Float32Array[] | null)[],
): FalseStart[] {
  const framesASecond = 100;
  const found: FalseStart[] = [];
  for (let i = 0; i < phrases.length; i++) {
    const opening = openings[i];
    const next = openings[i + 1];
    if (!mayBeFalseStart(phrases, i) || !opening || !next) continue;
    const length = phrases[i]!.end - phrases[i]!.start;
    // The last moment before the break is bent by breaking off; it is not asked to recur.
    const compared = opening.slice(0, Math.round(Math.min(comparedSeconds, length - 0.05) * framesASecond));
    if (compared.length < 15) continue;
    const others: number[] = [];
    for (let k = 0; k < phrases.length && others.length < 40; k++) {
      const other = openings[k];
      if (k === i || k === i + 1 || phrases[k]!.who !== "sitter" || !other || other.length < compared.length)
        continue;
      others.push(openingDistance(compared, other));
    }
    // The inside of the next phrase is another thing that this voice says, a third of a second further on.
    if (next.length > compared.length + 40) others.push(openingDistance(compared, next.slice(35)));
    if (others.length === 0) continue;
    const usual = quantileOf(others, 0.5);
    // Some words open many answers; a second try is still among the nearest of all.
    const near = quantileOf(others, 0.15);
    const between = openingDistance(compared, next);
    const share = between / usual;
    if (share >= sameWords || between > near) continue;
    const likeness = Math.max(0, Math.min(1, 1 - share));
    const proven = others.length >= 3 ? 1 : 0.5;
    const heardEnough = Math.min(1, compared.length / 40);
    found.push({
      phrase: i,
      likeness,
      confidence: proven * Math.min(1, 0.35 + 0.65 * Math.min(1, likeness / 0.6)) * (0.6 + 0.4 * heardEnough),
    });
  }
  return found;
}
