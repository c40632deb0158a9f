import type { ChapterName, ChapterResults } from "./chapter-results.ts";
import type { Finding } from "./finding.ts";
import type { Recording } from "./recording.ts";

/** State of a chapter, as the spine of the page shows it. */
export type ChapterState = "settled" | "working" | "notBegun" | "failed";

export interface ChapterOnPage<Name extends ChapterName = ChapterName> {
  readonly name: Name;
  readonly state: ChapterState;
  readonly question: string;
  /** The sentence that opens the chapter; for `notBegun` what is missing; for `failed` what happened. */
  readonly verdict: string;
  readonly findings: readonly Finding[];
  readonly result: ChapterResults[Name] | null;
  /** While working: 0..1 and what is being done. */
  readonly progress: { readonly done: number; readonly doing: string } | null;
}

/** `GET api/sitting`: everything the page shows. Files are fetched from `files/<relative path>`. */
export interface SittingPage {
  readonly title: string;
  /** ISO 8601 of the sitting. */
  readonly createdAt: string;
  readonly folder: string;
  readonly recordings: readonly Recording[];
  readonly chapters: readonly ChapterOnPage[];
}
