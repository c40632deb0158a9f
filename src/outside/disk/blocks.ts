import type { Disk } from "./disk.ts";
import { cancelled, explainReadError } from "./explain-disk-error.ts";

/** How much is read or written at once: large enough for spinning drives and card readers to run at full speed. */
export const blockBytes = 4 * 1024 * 1024;

/**
 * The bytes of a file, block by block, the next one being read while the caller works on this one.
 *
 * Each block is only valid until the next is asked for.
 *
 * @throws ExplainedError `FILE_MISSING`, `FILE_NOT_READABLE`, `CANCELLED`.
 */
export async function* readBlocks(
  disk: Disk,
  path: string,
  {
    signal,
    pastCache = false,
  }: { readonly signal?: AbortSignal | undefined; readonly pastCache?: boolean } = {},
): AsyncGenerator<Uint8Array> {
  const stop = (): void => {
    if (signal?.aborted) throw cancelled("Reading");
  };
  stop();
  const handle = await disk.openForReading(path, { pastCache }).catch((error) => {
    throw explainReadError(error, path);
  });
  const blocks = takeBlocks();
  let pending: Promise<number> | null = null;
  try {
    let position = 0;
    let turn = 0;
    const readNext = (): Promise<number> => {
      const read = handle.readInto(blocks[turn % 2]!, position);
      // its failure is met when it is awaited; until then it must not count as unhandled
      read.catch(() => {});
      return read;
    };
    pending = readNext();
    for (;;) {
      const bytes = await pending.catch((error) => {
        throw explainReadError(error, path);
      });
      pending = null;
      if (bytes === 0) return;
      const block = blocks[turn % 2]!.subarray(0, bytes);
      position += bytes;
      turn += 1;
      pending = readNext();
      yield block;
      stop();
    }
  } finally {
    await pending?.catch(() => {});
    await handle.close().catch(() => {});
    freeBlocks.push(blocks);
  }
}

// Node has it, Node's type declarations do not
const runtime = globalThis as unknown as {
  WebAssembly: { Memory: new (size: { initial: number; maximum: number }) => { buffer: ArrayBuffer } };
};

type Pair = readonly [Uint8Array, Uint8Array];
const freeBlocks: Pair[] = [];

function takeBlocks(): Pair {
  return freeBlocks.pop() ?? [pageAlignedBlock(), pageAlignedBlock()];
}

/**
 * Reading past the cache needs memory that begins on a page. Node has no call for that; the memory of a WebAssembly
 * module does begin on one.
 */
function pageAlignedBlock(): Uint8Array {
  const pages = blockBytes / 65_536;
  try {
    return new Uint8Array(new runtime.WebAssembly.Memory({ initial: pages, maximum: pages }).buffer);
  } catch {
    return new Uint8Array(blockBytes);
  }
}
