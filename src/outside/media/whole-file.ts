import { open, rename, rm } from "node:fs/promises";
import { dirname } from "node:path";
import { makeFolder } from "../disk/make-folder.ts";

/** The name a file has while it is being written: beside its place, so that the rename stays on one disk. */
export function partNameOf(path: string): string {
  return `${path}.part`;
}

/** Makes the folder of a file that is about to be written. */
export async function prepareFolderOf(path: string): Promise<void> {
  await makeFolder(dirname(path));
}

/** Puts a finished part under its own name: bytes to the disk first, then one rename, then the folder's entry. */
export async function keepWhole(path: string): Promise<void> {
  await syncToDisk(partNameOf(path), "r+");
  await rename(partNameOf(path), path);
  // Windows has no handle for a folder; there the rename itself is journalled.
  if (process.platform !== "win32") await syncToDisk(dirname(path), "r");
}

/** Removes what was written so far, where there is anything; nothing appears under the file's own name. */
export async function dropPart(path: string): Promise<void> {
  // The failure that led here is the one to tell; a disk that is gone has nothing to remove.
  await rm(partNameOf(path), { force: true }).catch(() => undefined);
}

async function syncToDisk(path: string, flags: "r" | "r+"): Promise<void> {
  const handle = await open(path, flags);
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
}
