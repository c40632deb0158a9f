import type { CardsResult } from "#documents/chapter-results";
import type { Finding } from "#documents/finding";
import type { Advice } from "#errors/explained-error";
import { countOf, numberWords, openSentence } from "#science/units/number-words";

/** The question that the chapter answers. */
export const cardsQuestion = "Are the cards copied safely?";

/** What came to pass, as the job saw it; {@link cardsFindings} puts it in words. */
export interface CardsFacts {
  /** A copy that was not made or not proved. `place` as a person named it. */
  readonly failures: readonly {
    readonly file: string;
    readonly place: string;
    readonly code: string;
    readonly advice: Advice;
  }[];
  /** Places that were given up, and how much is safe there. */
  readonly placesGivenUp: readonly {
    readonly place: string;
    readonly verified: number;
    readonly total: number;
    readonly advice: Advice;
  }[];
  /** Files that could not be read from a card. */
  readonly unreadable: readonly { readonly file: string; readonly advice: Advice }[];
  /** Links and other things on a card that are not files: not copied. */
  readonly notFiles: readonly string[];
  /** Our own copies that something changed since: now set aside under another name, and made again. */
  readonly changedCopies: readonly {
    readonly file: string;
    readonly place: string;
    readonly asideAs: string;
  }[];
  /** Our own copies that were gone: made again. */
  readonly vanishedCopies: readonly { readonly file: string; readonly place: string }[];
  /** Histories (ASC MHL) beside the copies that could not be added to: altered (`MANIFEST_…`), or not writable. */
  readonly histories: readonly { readonly place: string; readonly code: string; readonly advice: Advice }[];
  /** Places of which two or more share a drive, and places on a card's own drive. */
  readonly sharedDrive: readonly string[];
  readonly onCardDrive: readonly string[];
}

/** What is worth knowing about the copies, what must be dealt with first. */
export function cardsFindings(facts: CardsFacts): Finding[] {
  const findings: Finding[] = [];
  const add = (
    code: string,
    weight: Finding["weight"],
    says: string,
    remedy: string,
    where?: string,
  ): void => {
    findings.push({ code, weight, says, remedy, ...(where === undefined ? {} : { evidence: { where } }) });
  };
  for (const { place, verified, total, advice } of facts.placesGivenUp) {
    add(
      "cards.place-given-up",
      "stop",
      `${advice.happened} ${verified} of ${total} ${total === 1 ? "file" : "files"} ${verified === 1 ? "is" : "are"} copied and verified in ${place}.`,
      advice.doNext.includes("same command")
        ? advice.doNext
        : `${advice.doNext} The same command goes on from there.`,
      place,
    );
  }
  for (const { file, place, code, advice } of facts.failures) {
    add(
      copyFailure[code] ?? "cards.copy-failed",
      "stop",
      advice.happened,
      `${advice.means} ${advice.doNext}`,
      `${place}: ${file}`,
    );
  }
  for (const { file, advice } of facts.unreadable) {
    add("cards.file-unreadable", "stop", advice.happened, `${advice.means} ${advice.doNext}`, file);
  }
  if (facts.notFiles.length > 0) {
    add(
      "cards.not-files",
      "warn",
      `${countOf(facts.notFiles.length, "link")} among the cards' files ${facts.notFiles.length === 1 ? "was" : "were"} not followed: ${some(facts.notFiles)}.`,
      "If footage lies behind, name its folder as a card too.",
      facts.notFiles[0],
    );
  }
  for (const { file, place, asideAs } of facts.changedCopies) {
    add(
      "cards.copy-changed",
      "warn",
      `The copy of ${file} in ${place} was changed after it had been verified.`,
      `It was made again from the card; the changed one is kept as ${asideAs}.`,
      `${place}: ${file}`,
    );
  }
  const byPlace = new Map<string, string[]>();
  for (const { file, place } of facts.vanishedCopies)
    byPlace.set(place, [...(byPlace.get(place) ?? []), file]);
  for (const [place, files] of byPlace) {
    const were = files.length === 1 ? "was" : "were";
    add(
      "cards.copy-vanished",
      "note",
      `${countOf(files.length, "verified copy", "verified copies")} ${were} gone from ${place}: ${some(files)}.`,
      "They are made again. Nothing to do.",
      place,
    );
  }
  for (const { place, code, advice } of facts.histories) {
    const isAltered = code.startsWith("MANIFEST_");
    add(
      isAltered ? "cards.history-changed" : "cards.history-not-written",
      "warn",
      advice.happened,
      `${advice.means} ${advice.doNext}`,
      place,
    );
  }
  if (facts.sharedDrive.length > 1) {
    add(
      "cards.one-drive",
      "warn",
      `The copies in ${list(facts.sharedDrive)} lie on one drive, which can fail with both.`,
      "Give a place on another drive.",
    );
  }
  for (const place of facts.onCardDrive) {
    add(
      "cards.on-card-drive",
      "note",
      `The copy in ${place} lies on the same drive as the files it copies.`,
      "It guards against a slip of the hand, not against the loss of the drive. Give a place on another drive too.",
      place,
    );
  }
  return findings;
}

const copyFailure: Readonly<Record<string, string>> = {
  COPY_CHECKSUM_MISMATCH: "cards.copy-differs",
  COPY_DIFFERENT_FILE_THERE: "cards.different-file-there",
  COPY_INTERRUPTED: "cards.source-changed",
};

/** The sentence that opens the chapter: whether the copies are good, and whether the cards may be erased. */
export function cardsVerdict(result: Pick<CardsResult, "files" | "copies" | "findings">): string {
  const { files, copies, findings } = result;
  const has = (code: string): boolean => findings.some((finding) => finding.code === code);
  const lost = findings.filter((finding) => finding.code === "cards.file-unreadable").length;
  if (lost > 0)
    return `${openSentence(countOf(lost, "file"))} could not be read from the cards; do not erase them.`;
  if (copies.length === 0) {
    const are = files.length === 1 ? "is read where it lies" : "are read where they lie";
    return `${openSentence(countOf(files.length, "file"))} ${are} and nothing is copied; keep the cards as they are.`;
  }
  const lacking = copies.filter((copy) => copy.failed > 0);
  if (lacking.length > 0) {
    const each = lacking.map(
      ({ place, verified, failed }) =>
        `the copy in ${place} lacks ${failed} of ${verified + failed} ${verified + failed === 1 ? "file" : "files"}`,
    );
    return `${openSentence(list(each))}; do not erase the cards yet.`;
  }
  if (has("cards.not-files"))
    return `Every file is copied and verified, but not what the links on the cards lead to; do not erase them yet.`;
  if (copies.length === 1) {
    const what = files.length === 1 ? "The one file is" : `All ${numberWords(files.length)} files are`;
    return `${what} copied and verified, but one copy besides the card is not enough to erase it: give a second place.`;
  }
  const all = copies.length === 2 ? "Both copies are" : `All ${numberWords(copies.length)} copies are`;
  return has("cards.one-drive") || has("cards.on-card-drive")
    ? `${all} verified; the cards may be erased once two copies lie on drives of their own.`
    : `${all} verified; the cards may be erased.`;
}

function list(parts: readonly string[]): string {
  return parts.length < 2 ? parts.join("") : `${parts.slice(0, -1).join(", ")} and ${parts.at(-1)}`;
}

function some(names: readonly string[]): string {
  return names.length <= 3 ? list(names) : `${names.slice(0, 3).join(", ")} and ${names.length - 3} more`;
}
