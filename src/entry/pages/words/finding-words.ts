import type { Finding } from "#documents/finding";
import type { ChapterOnPage, SittingPage } from "#documents/page";
import type { Recording } from "#documents/recording";
import { type Placement, picturePlacement, sittingFromLocal } from "#science/placement/placement";
import { openSentence } from "#science/units/number-words";
import { momentFigure } from "#science/units/time-figures";
import { fileName } from "./addresses.ts";
import { clockTime } from "./times.ts";

/** The recording that a finding's evidence names; undefined where it names none. */
export function recordingOf(finding: Finding, page: SittingPage): Recording | undefined {
  const where = finding.evidence?.where;
  return where === undefined
    ? undefined
    : page.recordings.find((r) => r.path === where || fileName(r.path) === where);
}

/** Where the picture of a recording lies in the sitting; null until Clock has placed it. */
export function placementOf(page: SittingPage, hash: string): Placement | null {
  const clock = page.chapters.find((c) => c.name === "clock")?.result;
  const placed =
    clock && "master" in clock ? clock.recordings.find((recording) => recording.hash === hash) : undefined;
  return placed ? picturePlacement(placed) : null;
}

/** A finding's stretch in sitting time; null where it has none, or its recording is not placed. */
export function sittingStretch(finding: Finding, page: SittingPage): { from: number; to: number } | null {
  const from = finding.evidence?.from;
  if (from === undefined) return null;
  const to = finding.evidence?.to ?? from;
  const recording = recordingOf(finding, page);
  if (!recording) return { from, to };
  const placement = placementOf(page, recording.hash);
  return placement ? { from: sittingFromLocal(placement, from), to: sittingFromLocal(placement, to) } : null;
}

/**
 * What a finding says, its moment in sitting time as in the figures: a chapter that looks at one recording alone
 * names the file's own time.
 */
export function findingSays(finding: Finding, page: SittingPage): string {
  const says = inSittingTime(finding, page);
  const first = /^\S+/.exec(says)?.[0] ?? "";
  // A sentence that opens with a file's path says that it is one.
  if (first === first.toLowerCase() && /\p{L}/u.test(first))
    return /[./\\]/.test(first)
      ? `The file ${fileName(first)}${says.slice(first.length)}`
      : openSentence(says);
  return says;
}

/** A chapter's verdict, with the moments of its findings in sitting time. */
export function chapterVerdict(chapter: ChapterOnPage, page: SittingPage): string {
  let text = chapter.verdict;
  for (const finding of chapter.findings) {
    const old = finding.says.replace(/\.$/, "");
    if (text.includes(old)) text = text.replace(old, inSittingTime(finding, page).replace(/\.$/, ""));
  }
  return text;
}

function inSittingTime(finding: Finding, page: SittingPage): string {
  const from = finding.evidence?.from;
  const recording = recordingOf(finding, page);
  const stretch = recording ? sittingStretch(finding, page) : null;
  if (from === undefined || !stretch) return finding.says;
  const own = `at ${momentFigure(from)}`;
  const inFile = recording ? ` in ${fileName(recording.path)}` : "";
  return finding.says.replace(
    finding.says.includes(own + inFile) ? own + inFile : own,
    `at ${clockTime(stretch.from)}`,
  );
}
