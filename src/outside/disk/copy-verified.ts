import { basename, dirname, join } from "node:path";
import { ExplainedError } from "#errors/explained-error";
import type { HashFormat } from "#formats/mhl/hash-formats";
import { readBlocks } from "./blocks.ts";
import type { Disk, DiskStat, WriteHandle } from "./disk.ts";
import { cancelled, explainDiskError, explainReadError, fileMissing } from "./explain-disk-error.ts";
import { beginHash, hashFile } from "./hash.ts";
import { forgetPart, newPartPath } from "./part-name.ts";

/** What came of one copy. */
export type CopyOutcome =
  | {
      readonly path: string;
      readonly state: "verified";
      /** False where the very same file already lay there and was only read. */
      readonly wasCopied: boolean;
      /** As the drive keeps it: some keep whole seconds or pairs of them. */
      readonly modifiedMs: number;
    }
  | { readonly path: string; readonly state: "failed"; readonly error: ExplainedError };

export interface CopyResult {
  /** Of the source, as read once; null where every copy had failed before the end was reached. */
  readonly hash: string | null;
  readonly bytes: number;
  /** Of the source. */
  readonly modifiedMs: number;
  /** In the order of the targets. */
  readonly outcomes: readonly CopyOutcome[];
}

export interface CopyWish {
  readonly source: string;
  /** Where the copies shall lie; folders are made. */
  readonly targets: readonly string[];
  readonly format: HashFormat;
  readonly signal?: AbortSignal | undefined;
  /** Bytes read from the source, and bytes read back, as they go. */
  readonly onBytes?: ((bytes: number) => void) | undefined;
  /** Told once the source is read and no longer needed, so that the next one can be read while this is proved. */
  readonly onSourceRead?: (() => void) | undefined;
  /** Where the card lies, for sentences: "the card", "camera B's card". */
  readonly sourceName?: string;
}

interface Writing {
  readonly path: string;
  part: string;
  handle: WriteHandle | null;
  error: unknown;
  /** The same size was there before us: only compare. */
  isThere: boolean;
}

/**
 * Copies one file to several places at once and proves each copy.
 *
 * The source is opened for reading alone and read once; its hash is made while its blocks go to every place, the slowest
 * place setting the pace. Each copy is taken to its drive (fsync), opened afresh, read back and compared; only then does
 * it get its name. A copy that fails says so alone and does not stop the others. Nothing that is there is ever replaced.
 *
 * @returns One outcome for each target. Failures by code: `COPY_CHECKSUM_MISMATCH` (what was written is kept under
 *   `name.bad`), `COPY_DIFFERENT_FILE_THERE`, `COPY_PLACE_INSIDE_SOURCE` (the target is the source itself),
 *   `COPY_INTERRUPTED` (the source changed meanwhile), `DISK_FULL`, `DISK_WRITE_FAILED`, `FILE_NOT_READABLE`.
 * @throws ExplainedError `FILE_MISSING`, `FILE_NOT_READABLE` of the source, `CANCELLED`; no part is left then.
 *
 * @remarks
 * What reading back proves: on Linux the copy is read past the page cache (O_DIRECT) where the file system allows it,
 * so the bytes come from the drive. Elsewhere, and on file systems without that, the system may answer from memory what
 * it has just written: that proves that the bytes arrived in the system, and, by fsync, that the drive has acknowledged
 * them, but not that they can be read from it. Node has no call (posix_fadvise) to drop a file from the cache. A drive's
 * own cache is beyond any program.
 */
export async function copyVerified(disk: Disk, wish: CopyWish): Promise<CopyResult> {
  const { source } = wish;
  const before = await statOf(disk, source);
  const writings = await Promise.all(wish.targets.map((path) => begin(disk, path, source, before)));
  let hash: string | null = null;
  try {
    hash = await copyBlocks(disk, writings, wish);
    const after = await statOf(disk, source);
    wish.onSourceRead?.();
    if (after.bytes !== before.bytes || after.modifiedMs !== before.modifiedMs) {
      for (const writing of writings) writing.error ??= sourceChanged(source);
      hash = null;
    }
    const sourceHash = hash;
    const outcomes = await Promise.all(
      writings.map(async (writing): Promise<CopyOutcome> => {
        if (writing.error === null && sourceHash !== null) {
          await prove(disk, writing, before, sourceHash, wish).catch((error) => {
            writing.error = error;
          });
        }
        if (writing.error !== null) {
          const error = explainDiskError(writing.error, writing.path);
          if (!(error instanceof ExplainedError)) throw error;
          return { path: writing.path, state: "failed", error };
        }
        const kept = await disk.stat(writing.path);
        return {
          path: writing.path,
          state: "verified",
          wasCopied: !writing.isThere,
          modifiedMs: kept?.modifiedMs ?? before.modifiedMs,
        };
      }),
    );
    if (outcomes.some((one) => one.state === "failed" && one.error.code === "CANCELLED"))
      throw cancelled("Copying");
    return { hash, bytes: before.bytes, modifiedMs: before.modifiedMs, outcomes };
  } finally {
    await Promise.all(writings.map((writing) => discard(disk, writing)));
  }
}

async function statOf(disk: Disk, source: string): Promise<DiskStat> {
  const found = await disk.stat(source).catch((error) => {
    throw explainReadError(error, source);
  });
  if (!found) throw fileMissing(source);
  if (found.kind !== "file")
    throw explainReadError(Object.assign(new Error(source), { code: "EISDIR" }), source);
  return found;
}

async function begin(disk: Disk, path: string, source: string, sourceStat: DiskStat): Promise<Writing> {
  const writing: Writing = { path, part: "", handle: null, error: null, isThere: false };
  try {
    const there = await disk.stat(path);
    if (there) {
      if (there.identity === sourceStat.identity) throw targetIsSource(path);
      if (there.kind !== "file" || there.bytes !== sourceStat.bytes) throw differentFileThere(path, source);
      writing.isThere = true;
      return writing;
    }
    await disk.makeFolder(dirname(path));
    writing.part = newPartPath(path);
    writing.handle = await disk.createForWriting(writing.part);
  } catch (error) {
    writing.error = error;
  }
  return writing;
}

/** Reads the source once into the hash and every open copy; null where no copy was left to write or compare. */
async function copyBlocks(disk: Disk, writings: readonly Writing[], wish: CopyWish): Promise<string | null> {
  const hasher = await beginHash(wish.format);
  const isNeeded = (): boolean =>
    wish.targets.length === 0 || writings.some((writing) => writing.error === null);
  if (!isNeeded()) return null;
  for await (const block of readBlocks(disk, wish.source, { signal: wish.signal })) {
    const writes = writings.map(async (writing) => {
      if (writing.error !== null || writing.handle === null) return;
      await writing.handle.write(block).catch((error) => {
        writing.error = error;
      });
    });
    hasher.update(block);
    await Promise.all(writes);
    wish.onBytes?.(block.length);
    if (!isNeeded()) return null;
  }
  return hasher.text();
}

/** Takes one copy to the drive, reads it back, compares, and gives it its name. */
async function prove(
  disk: Disk,
  writing: Writing,
  source: DiskStat,
  hash: string,
  wish: CopyWish,
): Promise<void> {
  const { path, isThere } = writing;
  if (!isThere) {
    await writing.handle!.sync();
    const handle = writing.handle!;
    writing.handle = null;
    await handle.close();
    await disk.setModified(writing.part, source.modifiedMs);
  }
  const readBack = isThere ? path : writing.part;
  const found = await hashFile(readBack, wish.format, wish.onBytes, wish.signal, { disk, pastCache: true });
  if (isThere) {
    if (found !== hash) throw differentFileThere(path, wish.source);
    return;
  }
  if (found !== hash) {
    const bad = await freeName(disk, `${path}.bad`);
    await disk.renameToNew(writing.part, bad);
    forgetPart(writing.part);
    writing.part = "";
    throw mismatch(path, bad, hash, found, wish);
  }
  await disk.renameToNew(writing.part, path);
  forgetPart(writing.part);
  writing.part = "";
  await disk.syncFolder(dirname(path));
}

async function discard(disk: Disk, writing: Writing): Promise<void> {
  await writing.handle?.close().catch(() => {});
  if (writing.part === "") return;
  await disk.removeFile(writing.part).catch(() => {});
  forgetPart(writing.part);
}

/** `path`, or the first of `path.2`, `path.3` that is free. */
export async function freeName(disk: Disk, path: string): Promise<string> {
  for (let number = 1; ; number++) {
    const candidate = number === 1 ? path : `${path}.${number}`;
    if ((await disk.stat(candidate)) === null) return candidate;
  }
}

function mismatch(path: string, bad: string, wanted: string, found: string, wish: CopyWish): ExplainedError {
  const name = basename(path);
  return new ExplainedError(
    "COPY_CHECKSUM_MISMATCH",
    {
      happened: `${name} in ${dirname(path)} is not the file that is on ${wish.sourceName ?? "the card"}.`,
      means: `This copy can't be trusted. The card was only read and is unchanged; the bad copy is now ${basename(bad)}.`,
      doNext:
        "Copy this one file again. If it fails twice, change the cable or the drive. Do not erase the card yet.",
    },
    { path, bad, source: wish.source, format: wish.format, wanted, found },
  );
}

function differentFileThere(path: string, source: string): ExplainedError {
  const name = basename(path);
  return new ExplainedError(
    "COPY_DIFFERENT_FILE_THERE",
    {
      happened: `Another file named ${name} is already in ${dirname(path)}.`,
      means:
        "It differs from the one on the card, and is never replaced. Both are untouched; this one was not copied.",
      doNext: `Move or rename ${join(dirname(path), name)}, or give another place, then give the same command again.`,
    },
    { path, source },
  );
}

function targetIsSource(path: string): ExplainedError {
  return new ExplainedError(
    "COPY_PLACE_INSIDE_SOURCE",
    {
      happened: `${path} is the file to be copied, not a copy of it.`,
      means: "The place lies on the card itself, so nothing would be safer than before. Nothing was changed.",
      doNext: "Give a place outside the folder that is copied, best on another drive.",
    },
    { path },
  );
}

function sourceChanged(source: string): ExplainedError {
  return new ExplainedError(
    "COPY_INTERRUPTED",
    {
      happened: `${basename(source)} changed while it was being copied.`,
      means: "Something still writes it, so no copy of it would be whole. What was copied of it was removed.",
      doNext: "Wait until it is finished, or close what writes it, then give the same command again.",
    },
    { source },
  );
}

/** The card gives other bytes than it did before, under the same size and time. */
export function readsDifferently(source: string): ExplainedError {
  return new ExplainedError(
    "COPY_CHECKSUM_MISMATCH",
    {
      happened: `${basename(source)} reads differently from the card than it did before.`,
      means:
        "Its size and time are the same, so the card or its reader has a fault. The copies made before are kept; the new one is set aside.",
      doNext:
        "Use another reader or cable and copy again. If it happens twice, trust the first copies, not the card.",
    },
    { source },
  );
}
