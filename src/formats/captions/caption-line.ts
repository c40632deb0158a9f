/** One line of a transcript or of captions; seconds from the file's own zero. */
export interface CaptionLine {
  readonly start: number;
  readonly end: number;
  /** Plain words: one line, no mark-up. */
  readonly text: string;
  /** Whose words they are, where the file says so. */
  readonly who?: string;
}

/** What a file of captions held. */
export interface ReadCaptions {
  /** In order of start. */
  readonly lines: readonly CaptionLine[];
  /** How many cues could not be read and were left out. */
  readonly leftOut: number;
}

/** Words on one line: breaks and runs of blanks become one blank. */
export const onOneLine = (text: string): string => text.replace(/\s+/gu, " ").trim();

/** Lines in order of start, those at one time in the order that they came in. */
export const inOrder = (lines: readonly CaptionLine[]): CaptionLine[] =>
  [...lines].sort((a, b) => a.start - b.start);
