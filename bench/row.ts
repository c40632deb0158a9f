/** One measured figure beside a named reference measured in the same run. */
export interface BenchRow {
  readonly chapter: string;
  /** What was done, with its size: "offset and rate of 20 min against 20 min". */
  readonly what: string;
  readonly unit: string;
  readonly ours: number;
  /** What `theirs` was measured on: a library, the plain definition, real time. */
  readonly reference: string;
  readonly theirs: number;
}

/** A bench file default-exports this: it measures when asked, one row at a time. */
export type Bench = () => AsyncIterable<BenchRow>;
