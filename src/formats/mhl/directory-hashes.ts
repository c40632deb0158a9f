import { digestFromText, digestText, type HashFormat } from "./hash-formats.ts";

/** The plain digest of some bytes in one format (SHA-512 for C4). Hashing itself lives outside. */
export type Digest = (bytes: Uint8Array) => Uint8Array;

/** Content: which bytes lie in the folder, whatever their names. Structure: the same, with every name. */
export interface DirectoryHash {
  readonly content: string;
  readonly structure: string;
}

/** What lies in a folder: each file's hash as text, each sub-folder with its own. */
export interface HashedFolder {
  readonly files: ReadonlyMap<string, string>;
  readonly folders: ReadonlyMap<string, HashedFolder>;
}

/**
 * The hash of a list of hashes: sort them as text, decode each, put the bytes end to end, hash, encode.
 *
 * @remarks Source: ASC MHL Specification v1.0 (2022), appendix G.
 *
 * @example
 * bb, aa10, aa01 and aa have the xxh64 c4e803e454029ee4.
 */
export function hashOfHashes(
  digests: readonly { text: string; bytes: Uint8Array }[],
  digest: Digest,
): Uint8Array {
  const sorted = [...digests].sort((a, b) => (a.text < b.text ? -1 : a.text > b.text ? 1 : 0));
  return digest(joined(sorted.map((one) => one.bytes)));
}

/**
 * Content and structure hash of a folder and, by path from it, of every folder inside.
 *
 * @param folder - Hashes as text, all of `format`.
 * @returns By path with `/`; the folder itself under `.`. An empty folder has the hash of nothing.
 *
 * @remarks
 * Content is the hash of the children's hashes. Structure is the hash of one hash a child: of its name in UTF-8
 * followed by its file hash, or by its own structure hash. Source: ASC MHL Specification v1.0 (2022), appendix G.
 */
export function directoryHashes(
  folder: HashedFolder,
  format: HashFormat,
  digest: Digest,
): Map<string, DirectoryHash> {
  const found = new Map<string, DirectoryHash>();
  const utf8 = new TextEncoder();
  const visit = (one: HashedFolder, path: string): DirectoryHash => {
    const contents: { text: string; bytes: Uint8Array }[] = [];
    const structures: { text: string; bytes: Uint8Array }[] = [];
    const add = (name: string, contentText: string, structureText: string): void => {
      contents.push({ text: contentText, bytes: digestFromText(format, contentText) });
      const named = digest(joined([utf8.encode(name), digestFromText(format, structureText)]));
      structures.push({ text: digestText(format, named), bytes: named });
    };
    for (const [name, text] of one.files) add(name, text, text);
    for (const [name, inner] of one.folders) {
      const hash = visit(inner, path === "." ? name : `${path}/${name}`);
      add(name, hash.content, hash.structure);
    }
    const hash = {
      content: digestText(format, hashOfHashes(contents, digest)),
      structure: digestText(format, hashOfHashes(structures, digest)),
    };
    found.set(path, hash);
    return hash;
  };
  visit(folder, ".");
  return found;
}

/** The folder that a list of paths (with `/`) and hashes makes. */
export function folderOfHashes(files: Iterable<readonly [path: string, hash: string]>): HashedFolder {
  interface Growing extends HashedFolder {
    files: Map<string, string>;
    folders: Map<string, Growing>;
  }
  const make = (): Growing => ({ files: new Map(), folders: new Map() });
  const root = make();
  for (const [path, hash] of files) {
    const names = path.split("/");
    const name = names.pop()!;
    let at = root;
    for (const step of names) {
      let inner = at.folders.get(step);
      if (!inner) at.folders.set(step, (inner = make()));
      at = inner;
    }
    at.files.set(name, hash);
  }
  return root;
}

function joined(parts: readonly Uint8Array[]): Uint8Array {
  const whole = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}
