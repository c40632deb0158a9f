import type { ChapterName } from "#documents/chapter-results";
import type { RecordingProbe } from "#documents/recording";

/** Where a task finds and puts files. Absolute, as the machine that runs it sees them. */
export interface TaskFolders {
  /** Relative paths in results and inputs start here. */
  readonly sitting: string;
  /** What the task writes goes here... */
  readonly work: string;
  /** ...and will lie under this path, relative to the sitting, once the task is done. */
  readonly workWillBe: string;
}

/** A piece of work as plain JSON, so that any process on any machine that sees the files can do it. */
export type Task =
  | {
      readonly kind: "measure";
      readonly chapter: ChapterName;
      readonly inputs: unknown;
      /** Content hash to absolute path, for every recording that the inputs name. */
      readonly locations: Readonly<Record<string, string>>;
      readonly folders: TaskFolders;
    }
  | { readonly kind: "probe"; readonly path: string }
  /** A small copy that plays in a page, through LUTs; it appears whole or not at all. */
  | {
      readonly kind: "proxy";
      readonly path: string;
      readonly out: string;
      readonly maxWidth: number;
      readonly luts: readonly string[];
    }
  /** One frame as a JPEG, as recorded; it appears whole or not at all. */
  | {
      readonly kind: "frame";
      readonly path: string;
      readonly out: string;
      readonly atSeconds: number;
      readonly maxWidth: number;
    };

export interface ProbeAnswer {
  readonly probe: RecordingProbe;
  /** Set where less can be decoded than the container claims. */
  readonly readableSeconds?: number;
}

export interface Progress {
  /** 0 to 1. */
  readonly done: number;
  readonly doing: string;
}

/**
 * Does tasks. The embedded one forks worker processes on this machine; a queue over several machines can
 * stand behind the same interface, so no task may assume shared memory.
 */
export interface Executor {
  /** How many tasks it does at once. */
  readonly slots: number;
  /** @throws ExplainedError of the task, `CANCELLED`, or `WORKER_DIED`. */
  run<Result>(task: Task, tell: (progress: Progress) => void, signal: AbortSignal): Promise<Result>;
  close(): Promise<void>;
}
