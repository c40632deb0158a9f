import { basename, dirname } from "node:path";
import { ExplainedError } from "#errors/explained-error";

/** The system's word for why, as a clause that completes "… cannot be written: ". */
const reasons: Readonly<Record<string, string>> = {
  EROFS: "the drive can only be read",
  EACCES: "this user may not write there",
  EPERM: "this user may not write there",
  ENOENT: "the folder is not there",
  ENOTDIR: "a file stands where a folder should be",
  EISDIR: "a folder of that name is there",
  EEXIST: "something of that name is there",
  EIO: "the drive reports a fault",
  ENODEV: "the drive is gone",
  ENXIO: "the drive is gone",
  ESTALE: "the drive is gone",
  EBUSY: "another program holds it",
  ENAMETOOLONG: "the name is too long for this drive",
  EFBIG: "the file is larger than this drive's format allows",
  EMFILE: "too many files are open",
};

const full = new Set(["ENOSPC", "EDQUOT"]);

/** The system's code of an error, of its cause where that carries it, else "". */
export function systemCodeOf(error: unknown): string {
  if (error instanceof ExplainedError)
    return typeof error.facts.systemCode === "string" ? error.facts.systemCode : "";
  const code = (error as { code?: unknown } | null)?.code;
  return typeof code === "string" ? code : "";
}

/**
 * Puts a failed write into sentences. An {@link ExplainedError} is handed back as it is; so is an error that did not
 * come from the system, since that is a bug of ours.
 *
 * @returns `DISK_FULL` or `DISK_WRITE_FAILED`, with `facts.systemCode`.
 */
export function explainDiskError(error: unknown, path: string): unknown {
  const code = systemCodeOf(error);
  if (error instanceof ExplainedError || !/^E[A-Z0-9]+$/.test(code)) return error;
  const facts = { path, systemCode: code };
  if (full.has(code)) {
    return new ExplainedError(
      "DISK_FULL",
      {
        happened: `The drive is full: ${basename(path)} could not be written in ${dirname(path)}.`,
        means: "What was finished before is whole; nothing half-written was left.",
        doNext: "Make room on the drive, then give the same command again.",
      },
      facts,
      { cause: error },
    );
  }
  return new ExplainedError(
    "DISK_WRITE_FAILED",
    {
      happened: `${basename(path)} could not be written in ${dirname(path)}: ${reasons[code] ?? `the system says ${code}`}.`,
      means: "What was finished before is whole; nothing was replaced.",
      doNext: "Check the drive and the folder, then give the same command again.",
    },
    facts,
    { cause: error },
  );
}

/** Puts a failed read into sentences: `FILE_MISSING` or `FILE_NOT_READABLE`, with `facts.systemCode`. */
export function explainReadError(error: unknown, path: string): unknown {
  const code = systemCodeOf(error);
  if (error instanceof ExplainedError || !/^E[A-Z0-9]+$/.test(code)) return error;
  if (code === "ENOENT" || code === "ENOTDIR") return fileMissing(path, error);
  const why: Readonly<Record<string, string>> = {
    EACCES: "this user may not read it",
    EPERM: "this user may not read it",
    EISDIR: "it is a folder",
    EIO: "the card or drive reports a fault",
  };
  return new ExplainedError(
    "FILE_NOT_READABLE",
    {
      happened: `${basename(path)} in ${dirname(path)} cannot be read: ${why[code] ?? reasons[code] ?? `the system says ${code}`}.`,
      means: "It was only opened for reading and is unchanged.",
      doNext: "Check the card, its reader and the cable, then give the same command again.",
    },
    { path, systemCode: code },
    { cause: error },
  );
}

/** There is nothing at `path`. */
export function fileMissing(path: string, cause?: unknown): ExplainedError {
  return new ExplainedError(
    "FILE_MISSING",
    {
      happened: `There is no ${basename(path)} in ${dirname(path)}.`,
      means: "The path is mistyped, or the card or drive that holds it is not connected.",
      doNext: "Connect it, or correct the path, then give the same command again.",
    },
    { path, systemCode: "ENOENT" },
    cause === undefined ? undefined : { cause },
  );
}

/** The work was called off by its signal. */
export function cancelled(what: string): ExplainedError {
  return new ExplainedError("CANCELLED", {
    happened: `${what} was stopped.`,
    means: "What was finished before is whole; nothing half-written was left.",
    doNext: "Give the same command again to go on.",
  });
}
