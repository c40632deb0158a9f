import { hostname } from "node:os";
import { basename, join } from "node:path";
import { ExplainedError } from "#errors/explained-error";
import { type ChainLink, chainFileName, readChain, writeChain } from "#formats/mhl/chain";
import { type DirectoryHash, directoryHashes, folderOfHashes } from "#formats/mhl/directory-hashes";
import type { HashFormat } from "#formats/mhl/hash-formats";
import { ignoredBy } from "#formats/mhl/ignore-patterns";
import type { MhlFolder, MhlManifest } from "#formats/mhl/manifest";
import { manifestName } from "#formats/mhl/manifest-name";
import {
  filesOfNextGeneration,
  ignoreOfNextGeneration,
  type Observation,
} from "#formats/mhl/next-generation";
import { readManifest } from "#formats/mhl/read-manifest";
import { writeManifest } from "#formats/mhl/write-manifest";
import type { Disk } from "./disk.ts";
import { digestBytesBy, hashBytes } from "./hash.ts";
import { readWhole } from "./read-whole.ts";
import { writeWhole } from "./write-whole.ts";

const toolName = "gemel";

/** The history of a folder as far as it can be trusted. */
export interface MhlHistory {
  readonly chain: readonly ChainLink[];
  /** In the order of the chain. */
  readonly manifests: readonly MhlManifest[];
}

/**
 * Reads the ASC MHL history of a folder, checking each manifest against the chain before it is believed.
 *
 * @param root - Absolute path of the folder that holds `ascmhl`.
 * @returns No links where the folder has no history.
 * @throws ExplainedError `MANIFEST_CHANGED`: a manifest is gone or is not the one that the chain names;
 *   `MANIFEST_INVALID`, `FILE_NOT_READABLE`.
 */
export async function readHistory(disk: Disk, root: string): Promise<MhlHistory> {
  const folder = join(root, "ascmhl");
  if ((await disk.stat(join(folder, chainFileName))) === null) return { chain: [], manifests: [] };
  const text = new TextDecoder();
  const chain = readChain(text.decode(await readWhole(join(folder, chainFileName), disk)));
  const manifests: MhlManifest[] = [];
  for (const link of chain) {
    const path = join(folder, link.path);
    const bytes = (await disk.stat(path)) === null ? null : await readWhole(path, disk);
    if (bytes === null || (await hashBytes("c4", bytes)) !== link.c4)
      throw changed(root, link.path, bytes === null);
    manifests.push(readManifest(text.decode(bytes), link.path));
  }
  return { chain, manifests };
}

/** What goes into a new generation. */
export interface Generation {
  /** All in one format. */
  readonly found: readonly Observation[];
  readonly format: HashFormat;
  readonly process: "in-place" | "transfer";
  readonly startedAt: Date;
  readonly toolVersion: string;
}

/**
 * Adds a generation to the history of a folder: a new manifest, then the chain that names it. Manifests that are there
 * stay as they are.
 *
 * Folder hashes, the root's too, are given where every file of the folder was found in this generation; a folder that
 * holds files nobody looked at has none, rather than one that leaves them out.
 *
 * @returns The manifest's path, and the files whose hash differs from the history's.
 * @throws ExplainedError those of {@link readHistory}; `DISK_FULL`, `DISK_WRITE_FAILED`.
 */
export async function addGeneration(
  disk: Disk,
  root: string,
  { found, format, process, startedAt, toolVersion }: Generation,
): Promise<{ readonly path: string; readonly name: string; readonly differing: readonly string[] }> {
  const folder = join(root, "ascmhl");
  const history = await readHistory(disk, root);
  await removeUnchained(disk, folder, history);
  const ignore = ignoreOfNextGeneration(history.manifests);
  const leftOut = ignoredBy(ignore);
  const recorded = found.filter(({ path }) => !leftOut(path, false));
  const files = filesOfNextGeneration(history.manifests, recorded);
  const hashDate = recorded[0]?.hash.hashDate ?? isoSeconds(startedAt.getTime());
  const { root: rootHash, folders } = await hashFolders(disk, root, recorded, format, hashDate, leftOut);
  const number = history.chain.length + 1;
  const name = manifestName(number, basename(root), startedAt);
  const text = writeManifest({
    creator: {
      createdAt: isoSeconds(startedAt.getTime()),
      hostName: hostname(),
      tool: { name: toolName, version: toolVersion },
    },
    process,
    ...(rootHash ? { root: both(rootHash, format, hashDate) } : {}),
    ignore,
    files,
    folders,
    references: [],
  });
  await disk.makeFolder(folder);
  await writeWhole(join(folder, name), text, disk);
  const c4 = await hashBytes("c4", new TextEncoder().encode(text));
  await writeWhole(
    join(folder, chainFileName),
    writeChain([...history.chain, { number, path: name, c4 }]),
    disk,
  );
  return {
    path: join(folder, name),
    name,
    differing: files
      .filter((file) => file.hashes.some((hash) => hash.action === "failed"))
      .map((file) => file.path),
  };
}

/** ISO 8601 in whole seconds with the offset written out, as in the published examples. */
export function isoSeconds(milliseconds: number): string {
  return `${new Date(milliseconds).toISOString().slice(0, 19)}+00:00`;
}

/** A manifest of ours that the chain does not name was left by a run that was killed between the two. */
async function removeUnchained(disk: Disk, folder: string, { chain }: MhlHistory): Promise<void> {
  if ((await disk.stat(folder)) === null) return;
  const number = String(chain.length + 1).padStart(4, "0");
  for (const { name, kind } of await disk.list(folder)) {
    if (kind !== "file" || !name.startsWith(`${number}_`) || !name.endsWith(".mhl")) continue;
    const path = join(folder, name);
    try {
      const manifest = readManifest(new TextDecoder().decode(await readWhole(path, disk)), name);
      if (manifest.creator.tool.name === toolName) await disk.removeFile(path);
    } catch {
      // not ours to judge
    }
  }
}

async function hashFolders(
  disk: Disk,
  root: string,
  found: readonly Observation[],
  format: HashFormat,
  hashDate: string,
  leftOut: (path: string, isFolder: boolean) => boolean,
): Promise<{ root: DirectoryHash | null; folders: MhlFolder[] }> {
  const known = new Map(found.map((one) => [one.path, one.hash.text]));
  const whole = new Map<string, boolean>();
  const visit = async (path: string): Promise<boolean> => {
    let isWhole = true;
    let isEmpty = true;
    for (const { name, kind } of await disk.list(join(root, path))) {
      const inner = path === "" ? name : `${path}/${name}`;
      if (leftOut(inner, kind === "folder")) continue;
      const isKnown = kind === "folder" ? await visit(inner) : kind === "file" && known.has(inner);
      isWhole &&= isKnown;
      isEmpty = false;
    }
    // an empty folder is part of its parent's hash, and no copy of ours makes one
    if (isEmpty) isWhole = false;
    whole.set(path === "" ? "." : path, isWhole);
    return isWhole;
  };
  await visit("");
  const digest = await digestBytesBy(format);
  const hashes = directoryHashes(folderOfHashes(known), format, digest);
  const folders: MhlFolder[] = [];
  for (const [path, hash] of hashes) {
    if (path === "." || whole.get(path) !== true) continue;
    const stat = await disk.stat(join(root, path));
    folders.push({
      path,
      ...(stat ? { modifiedAt: isoSeconds(stat.modifiedMs) } : {}),
      ...both(hash, format, hashDate),
    });
  }
  return { root: whole.get(".") === true ? hashes.get(".")! : null, folders };
}

function both(hash: DirectoryHash, format: HashFormat, hashDate: string) {
  return {
    content: [{ format, text: hash.content, hashDate }],
    structure: [{ format, text: hash.structure, hashDate }],
  };
}

function changed(root: string, name: string, isGone: boolean): ExplainedError {
  return new ExplainedError(
    "MANIFEST_CHANGED",
    {
      happened: `${name} in ${join(root, "ascmhl")} ${isGone ? "is gone" : "is not the manifest that was written"}.`,
      means:
        "The history of these copies cannot be relied on, so it was not added to. The copies themselves were checked.",
      doNext:
        "Fetch the ascmhl folder again from another place, or move it away so that a new history begins.",
    },
    { root, name },
  );
}
