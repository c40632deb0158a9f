import type { ChapterName, ChapterResults } from "./chapter-results.ts";
import type { Finding } from "./finding.ts";
import type { Recording } from "./recording.ts";
import type { Said } from "./said.ts";

/** State of a chapter, as the spine of the page shows it. */
export type ChapterState = "settled" | "working" | "notBegun" | "failed";

/** How far a piece of work is. */
export interface ProgressOnPage {
  /** 0 to 1. */
  readonly done: number;
  readonly doing: string;
  /** An estimate; null (or not there) until there is ground for one. */
  readonly secondsLeft?: number | null;
}

export interface ChapterOnPage<Name extends ChapterName = ChapterName> {
  readonly name: Name;
  readonly state: ChapterState;
  readonly question: string;
  /** The sentence that opens the chapter; for `notBegun` what is missing; for `failed` what happened. */
  readonly verdict: string;
  readonly findings: readonly Finding[];
  /** The newest result; while the chapter works again after a change, the one before. */
  readonly result: ChapterResults[Name] | null;
  /** While working. */
  readonly progress: ProgressOnPage | null;
}

/** What was said of the sitting, at one revision: what a page needs to change it and to take a change back. */
export interface SaidState {
  /** Names this content of what was said. A change is made on a revision, and refused where that is an old one. */
  readonly revision: string;
  readonly said: Said;
  /** What `api/undo` would take back, in words ("camera B from 1:02 to 1:10"); null where there is nothing. */
  readonly undo: string | null;
  /** What `api/redo` would do again, in words; null where there is nothing. */
  readonly redo: string | null;
}

/** A small copy of a recording that plays in a page: MP4, looking matched; its time 0 is the recording's local time 0. */
export interface ProxyOnPage {
  readonly hash: string;
  /** Relative to the sitting, for `files/<path>`. */
  readonly path: string;
}

/** `GET api/sitting`: everything the page shows. Files are fetched from `files/<relative path>`. */
export interface SittingPage extends SaidState {
  readonly title: string;
  /** ISO 8601 of the sitting. */
  readonly createdAt: string;
  readonly folder: string;
  readonly recordings: readonly Recording[];
  readonly chapters: readonly ChapterOnPage[];
  /** Whether chapters are being measured now; `api/cancel` stops it. */
  readonly running: boolean;
  /** Those that are made; the cut can be played from them once every recording it uses has one. */
  readonly proxies: readonly ProxyOnPage[];
  /** While proxies are being made. */
  readonly proxiesProgress: ProgressOnPage | null;
}
