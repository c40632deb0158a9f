import type { Finding } from "#documents/finding";
import { plainScore } from "./constants.ts";
import { type ClockLine, localTime, referenceTime } from "./line.ts";
import type { Listened } from "./listened.ts";
import { spoken } from "./names.ts";
import type { AcceptedPair } from "./place.ts";
import type { PairMeasured, Solved } from "./solve.ts";
import type { SoundWork } from "./sound-work.ts";

/** A pair whose own line does not agree with the way round through the others. */
export interface Unclosed {
  readonly reference: number;
  readonly other: number;
  /** By how much, seconds. */
  readonly seconds: number;
}

/** Two recordings that were not needed for each other's place are compared where they ran together this long, seconds. */
const leastTogetherSeconds = 20;
/** A loop closes within this: heads move less, reflections and other talkers come more apart. */
const closesWithinSeconds = 0.0008;
/** Two distant microphones tell less than a near and a distant one. */
const shareOfSay = 0.3;
const mostLoops = 12;

/**
 * Compares the pairs that the placing left out, along the line that follows from it, and keeps those that close.
 *
 * What keeps the recordings apart is known already, so only the second look is taken. A pair that was placed
 * decides which talker the line follows; one of these does not, and is named where it says otherwise.
 *
 * @param lines - The solution from the pairs that placed everything.
 * @returns pairs to be solved along with the others, and those thrown out.
 */
export async function closeLoops(
  work: SoundWork,
  heard: readonly (Listened | null)[],
  devices: readonly string[],
  pairs: readonly AcceptedPair[],
  lines: readonly (Solved | null)[],
): Promise<{ closing: PairMeasured[]; unclosed: Unclosed[] }> {
  const stepped = new Set(
    pairs.flatMap((p, i) => (pairs.findIndex((q) => q.other === p.other) === i ? [] : [p.other])),
  );
  const candidates: { reference: number; other: number; along: ClockLine; together: number }[] = [];
  for (let reference = 0; reference < heard.length; reference++)
    for (let other = reference + 1; other < heard.length; other++) {
      const [near, far] = [heard[reference], heard[other]];
      const [first, second] = [lines[reference], lines[other]];
      if (!near || !far || !first || !second) continue;
      if (devices[reference] === devices[other] || stepped.has(reference) || stepped.has(other)) continue;
      if (
        pairs.some(
          (p) =>
            (p.reference === reference && p.other === other) ||
            (p.reference === other && p.other === reference),
        )
      )
        continue;
      const along = between(first.line, second.line);
      const from = Math.max(0, referenceTime(along, 0));
      const end = Math.min(near.seconds, referenceTime(along, far.seconds));
      if (end - from >= leastTogetherSeconds)
        candidates.push({ reference, other, along, together: end - from });
    }
  const closing: PairMeasured[] = [];
  const unclosed: Unclosed[] = [];
  const asked = candidates.sort((a, b) => b.together - a.together).slice(0, mostLoops);
  const matches = await Promise.all(
    asked.map(({ reference, other, along }) =>
      work.follow(heard[reference]!, heard[other]!, { line: along, isPlain: true, score: plainScore }),
    ),
  );
  for (const [i, { reference, other, along }] of asked.entries()) {
    const match = matches[i];
    // Too faint between two distant microphones to say anything.
    if (!match || match.score < plainScore || match.isSoft || match.agreement < 0.3) continue;
    const middle = heard[other]!.seconds / 2;
    const seconds = referenceTime(match.line, middle) - referenceTime(along, middle);
    if (Math.abs(seconds) > closesWithinSeconds) unclosed.push({ reference, other, seconds });
    else
      closing.push({
        reference,
        other,
        windows: match.windows.map((w) => ({ ...w, weight: w.weight * shareOfSay })),
      });
  }
  return { closing, unclosed };
}

/** The other's local time on the reference's, given both on the sitting's. */
function between(reference: ClockLine, other: ClockLine): ClockLine {
  const ratio = (1 + other.ratePpm * 1e-6) / (1 + reference.ratePpm * 1e-6);
  return { offset: localTime(reference, other.offset), ratePpm: (ratio - 1) * 1e6 };
}

/** Says of each pair thrown out between whom, and by how much it did not close. */
export function unclosedFindings(
  unclosed: readonly Unclosed[],
  nameOfRecording: (i: number) => string,
): Finding[] {
  return unclosed.map(({ reference, other, seconds }) => ({
    code: "clock.loop-open",
    weight: "note",
    says: `Compared with each other directly, ${nameOfRecording(reference)} and ${nameOfRecording(other)} differ by ${spoken(seconds)} from where the others put them; that comparison is left out.`,
    remedy: "Nothing to do: most likely they hear another talker or a reflection better than the sitter.",
    evidence: { figure: `${(seconds * 1e3).toFixed(2)} ms` },
  }));
}
