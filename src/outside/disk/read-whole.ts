import type { Disk } from "./disk.ts";
import { explainReadError } from "./explain-disk-error.ts";
import { realDisk } from "./real-disk.ts";

/**
 * All bytes of a small file (documents, manifests); for recordings use {@link readBlocks}.
 *
 * @throws ExplainedError `FILE_MISSING`, `FILE_NOT_READABLE`.
 */
export async function readWhole(path: string, disk: Disk = realDisk): Promise<Uint8Array> {
  try {
    const handle = await disk.openForReading(path);
    try {
      let whole = new Uint8Array(65_536);
      let bytes = 0;
      for (;;) {
        const read = await handle.readInto(whole.subarray(bytes), bytes);
        if (read === 0) return whole.slice(0, bytes);
        bytes += read;
        if (bytes === whole.length) {
          const larger = new Uint8Array(whole.length * 4);
          larger.set(whole);
          whole = larger;
        }
      }
    } finally {
      await handle.close();
    }
  } catch (error) {
    throw explainReadError(error, path);
  }
}
