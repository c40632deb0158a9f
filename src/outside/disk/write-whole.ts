import { open } from "node:fs/promises";
import { dirname } from "node:path";
import type { Disk } from "./disk.ts";
import { explainDiskError } from "./explain-disk-error.ts";
import { forgetPart, newPartPath } from "./part-name.ts";
import { realDisk } from "./real-disk.ts";

/**
 * Writes a file whole or not at all: beside it under a hidden `.part` name, to the drive (fsync), then renamed over it,
 * then the folder to the drive. A reader sees the old file or the new one, never half of either.
 *
 * @param path - Absolute. Its folder has to be there. A file that is there is replaced.
 * @param content - Text is written as UTF-8.
 * @throws ExplainedError `DISK_FULL`, `DISK_WRITE_FAILED`; the part is removed and the old file is untouched.
 */
export async function writeWhole(
  path: string,
  content: Uint8Array | string,
  disk: Disk = realDisk,
): Promise<void> {
  const file = await streamWhole(path, disk);
  await file.write(typeof content === "string" ? new TextEncoder().encode(content) : content);
  await file.finish();
}

/** A file that appears under its name only when it is finished. */
export interface WholeFile {
  /** Appends. The bytes may be reused once it returns. */
  write(bytes: Uint8Array): Promise<void>;
  /** Puts the file in its place. */
  finish(): Promise<void>;
  /** Removes what was written; after `finish` it does nothing. */
  abandon(): Promise<void>;
}

/**
 * As {@link writeWhole}, for bytes that come one block after another. Call `finish` or `abandon` at the end.
 *
 * @throws ExplainedError `DISK_FULL`, `DISK_WRITE_FAILED`, from itself and from each method; what was written is then
 *   removed already.
 */
export async function streamWhole(path: string, disk: Disk = realDisk): Promise<WholeFile> {
  const part = newPartPath(path);
  let isOver = false;
  const abandon = async (): Promise<void> => {
    if (isOver) return;
    isOver = true;
    await handle?.close().catch(() => {});
    await disk.removeFile(part).catch(() => {});
    forgetPart(part);
  };
  const guarded = async (work: () => Promise<void>): Promise<void> => {
    try {
      await work();
    } catch (error) {
      await abandon();
      throw explainDiskError(error, path);
    }
  };
  let handle: Awaited<ReturnType<Disk["createForWriting"]>> | null = null;
  await guarded(async () => {
    handle = await disk.createForWriting(part);
  });
  return {
    write: (bytes) => guarded(() => handle!.write(bytes)),
    finish: () =>
      guarded(async () => {
        await handle!.sync();
        await handle!.close();
        await disk.rename(part, path);
        isOver = true;
        forgetPart(part);
        await disk.syncFolder(dirname(path));
      }),
    abandon,
  };
}

/**
 * For a writer that wants a path rather than bytes: it writes to `partPath`, then `finish` takes that to the drive and
 * puts it in its place.
 *
 * @throws ExplainedError `DISK_FULL`, `DISK_WRITE_FAILED`, from `finish`; the part is then removed.
 */
export function reserveWhole(path: string): {
  readonly partPath: string;
  finish(): Promise<void>;
  abandon(): Promise<void>;
} {
  const partPath = newPartPath(path);
  const abandon = async (): Promise<void> => {
    await realDisk.removeFile(partPath).catch(() => {});
    forgetPart(partPath);
  };
  return {
    partPath,
    abandon,
    async finish() {
      try {
        await syncFile(partPath);
        await realDisk.rename(partPath, path);
        forgetPart(partPath);
        await realDisk.syncFolder(dirname(path));
      } catch (error) {
        await abandon();
        throw explainDiskError(error, path);
      }
    },
  };
}

async function syncFile(path: string): Promise<void> {
  const file = await open(path, "r+");
  try {
    await file.sync();
  } finally {
    await file.close();
  }
}
