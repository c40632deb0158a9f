import { join } from "node:path";
import type { Disk } from "./disk.ts";
import { isDeadPart } from "./part-name.ts";
import { realDisk } from "./real-disk.ts";

/**
 * Removes what killed runs left half-written in a folder and below: files whose name says that a process of ours, on
 * this machine, was writing them, where that process has ended. Nothing else is touched, and no link is followed.
 *
 * @param folder - Absolute; one that is not there holds nothing.
 * @returns The paths removed.
 */
export async function sweepParts(
  folder: string,
  { deep = true, disk = realDisk }: { readonly deep?: boolean; readonly disk?: Disk } = {},
): Promise<string[]> {
  const removed: string[] = [];
  const entries = await disk.list(folder).catch(() => []);
  for (const { name, kind } of entries) {
    const path = join(folder, name);
    if (kind === "folder" && deep) removed.push(...(await sweepParts(path, { deep, disk })));
    else if (kind === "file" && isDeadPart(path)) {
      // a drive that can only be read keeps its litter; that is no reason to stop
      await disk.removeFile(path).then(
        () => removed.push(path),
        () => {},
      );
    }
  }
  return removed;
}
