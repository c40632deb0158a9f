import { readSync } from "node:fs";
import { type FileHandle, open, rm } from "node:fs/promises";
import { join } from "node:path";
import type { Scratch } from "#documents/chapter";
import { explainDiskError } from "./explain-disk-error.ts";
import { makeFolder } from "./make-folder.ts";

/** Files that last as long as a piece of work. */
export interface ScratchFiles {
  open(): Promise<Scratch>;
  /** Removes them all. */
  close(): Promise<void>;
}

/**
 * Fills `out` from byte `at` on of an open file, zeros after its end; from any thread of the process.
 *
 * At once: it was written a moment ago and lies in the system's memory, where a pool of threads takes ten times as
 * long to be asked as the bytes take to be had.
 *
 * @param key - Of the {@link Scratch}, open still.
 */
export function readScratch(key: number, at: number, out: Uint8Array): void {
  let filled = 0;
  while (filled < out.byteLength) {
    const bytesRead = readSync(key, out, filled, out.byteLength - filled, at + filled);
    if (bytesRead === 0) break;
    filled += bytesRead;
  }
  out.fill(0, filled);
}

/**
 * Scratch files in a folder, which is made where it is missing; what a killed run leaves there is for the folder's owner
 * to sweep.
 *
 * @param folder - Absolute.
 * @throws ExplainedError `DISK_FULL`, `DISK_WRITE_FAILED`, from opening one and from what is appended.
 */
export function openScratchFiles(folder: string): ScratchFiles {
  const opened: { readonly path: string; readonly file: FileHandle }[] = [];
  let number = 0;
  return {
    async open() {
      const path = join(folder, `.scratch-${++number}`);
      const explained = (error: unknown): never => {
        throw explainDiskError(error, path);
      };
      await makeFolder(folder);
      const file = await open(path, "wx+").catch(explained);
      opened.push({ path, file });
      let end = 0;
      return {
        key: file.fd,
        async append(bytes) {
          const from = end;
          end += bytes.byteLength;
          for (let at = 0; at < bytes.byteLength; )
            at += (await file.write(bytes, at, bytes.byteLength - at, from + at).catch(explained))
              .bytesWritten;
        },
        async read(at, out) {
          readScratch(file.fd, at, out);
        },
      };
    },
    async close() {
      for (const { path, file } of opened.splice(0)) {
        await file.close();
        await rm(path, { force: true });
      }
    },
  };
}
