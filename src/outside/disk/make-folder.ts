import { copyFile } from "node:fs/promises";
import { dirname } from "node:path";
import { explainDiskError } from "./explain-disk-error.ts";
import { realDisk } from "./real-disk.ts";

/**
 * Makes a folder that a person named, and those above it.
 *
 * @throws ExplainedError `DISK_WRITE_FAILED`, `DISK_FULL`.
 */
export async function makeFolder(path: string): Promise<void> {
  await realDisk.makeFolder(path).catch((error: unknown) => {
    throw explainDiskError(error, path);
  });
}

/** Copies a made file to where a person wants it. Errors as {@link makeFolder}. */
export async function copyOut(made: string, to: string): Promise<void> {
  await makeFolder(dirname(to));
  await copyFile(made, to).catch((error: unknown) => {
    throw explainDiskError(error, to);
  });
}
