import type { ChapterName, ChapterResults } from "#documents/chapter-results";
import type { Finding } from "#documents/finding";
import { findingsOf, verdictOf } from "#jobs/live-sitting";
import type { RunOutcome } from "#jobs/run-sitting";
import type { ExitCode } from "./main.ts";
import { findingsText } from "./terminal.ts";
import { exitCodeFor } from "./with-executor.ts";

/** Chapters of the time before the shoot. What they find is advice; once recordings are there it cannot stop anything. */
export const beforehand: ReadonlySet<ChapterName> = new Set(["room", "kit"]);

/** What the chapters of one time found, in their order. */
const found = ({ results }: RunOutcome, isWanted: (name: ChapterName) => boolean): Finding[] =>
  (Object.keys(results) as ChapterName[])
    .filter(isWanted)
    .flatMap((name) => findingsOf(name, results[name] as ChapterResults[typeof name]));

/** Everything that a run found, in the order of the chapters. */
export const allFindings = (outcome: RunOutcome): Finding[] => found(outcome, () => true);

/** A run in words: its verdict and findings; what the plan would have wanted comes last, under its own heading. */
export function runText(outcome: RunOutcome): string {
  const last = outcome.results.handover;
  const advice = found(outcome, (name) => beforehand.has(name));
  const verdict = last ? verdictOf("handover", last) : "The first cut could not be made.";
  const filmed = found(outcome, (name) => !beforehand.has(name));
  const planned = advice.length > 0 ? `\nOf the plan, for the next shoot:\n${findingsText(advice)}` : "";
  return `${verdict}\n${findingsText(filmed)}${planned}`;
}

/**
 * How a run ends: 3 where a chapter failed by our fault, 1 where another failed, there is no cut, or what was filmed
 * has a stop. A stop of the plan alone does not count: the shoot is over, and the cut is whole.
 */
export function runExitCode(outcome: RunOutcome): ExitCode {
  const failures = Object.values(outcome.failed);
  if (failures.some(({ blame }) => blame === "ours")) return 3;
  if (failures.length > 0 || !outcome.results.handover) return 1;
  return exitCodeFor(found(outcome, (name) => !beforehand.has(name)));
}
