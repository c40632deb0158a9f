import { basename } from "node:path";
import { ExplainedError } from "#errors/explained-error";
import { LibraryFault } from "./library.ts";

/** Facts every media error carries: the file, and the library's code and words where it had any. */
export function factsOf(path: string, cause?: unknown): Record<string, unknown> {
  if (cause instanceof LibraryFault) {
    return { path, step: cause.step, libraryCode: cause.code, library: cause.saying };
  }
  return { path };
}

/**
 * What to tell somebody when a file could not be written.
 *
 * @param path - The file that was to appear.
 * @returns `DISK_FULL`, `DISK_WRITE_FAILED` or `MEDIA_ENCODE_FAILED`; an ExplainedError passes through.
 */
export function explainWriting(path: string, cause: unknown): ExplainedError {
  if (cause instanceof ExplainedError) return cause;
  const name = basename(path);
  const system = systemCodeOf(cause);
  const facts = factsOf(path, cause);
  if (system === "ENOSPC" || system === "EDQUOT") {
    return new ExplainedError(
      "DISK_FULL",
      {
        happened: `The disk was full before ${name} was whole.`,
        means: "The unfinished file was removed; files written earlier are safe.",
        doNext: "Free some space on that disk, or choose another, and give the same command again.",
      },
      facts,
      { cause },
    );
  }
  if (system !== undefined) {
    return new ExplainedError(
      "DISK_WRITE_FAILED",
      {
        happened: `${name} could not be written (${system}).`,
        means: "Nothing appeared under that name; files written earlier are safe.",
        doNext: `Check that the folder ${path.slice(0, -name.length) || "."} exists, that you may write there and that its drive is connected.`,
      },
      facts,
      { cause },
    );
  }
  return new ExplainedError(
    "MEDIA_ENCODE_FAILED",
    {
      happened: `${name} could not be encoded.`,
      means: "Nothing appeared under that name; the recordings are unchanged.",
      doNext: "Give the same command again; if it fails twice, report it with the facts below.",
    },
    facts,
    { cause },
  );
}

/** FFmpeg carries the system's own error numbers as their negatives. */
const systemCodes: Readonly<Record<number, string>> = {
  [-2]: "ENOENT",
  [-5]: "EIO",
  [-13]: "EACCES",
  [-20]: "ENOTDIR",
  [-21]: "EISDIR",
  [-27]: "EFBIG",
  [-28]: "ENOSPC",
  [-30]: "EROFS",
  [-122]: "EDQUOT",
};

/** `ENOSPC` and its like from a Node error or a library fault; undefined where the disk is not to blame. */
export function systemCodeOf(cause: unknown): string | undefined {
  if (cause instanceof LibraryFault) return systemCodes[cause.code];
  if (cause instanceof Error && "code" in cause && typeof cause.code === "string") return cause.code;
  return undefined;
}
