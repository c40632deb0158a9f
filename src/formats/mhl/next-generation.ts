import type { HashFormat } from "./hash-formats.ts";
import { defaultIgnore, type HashAction, type MhlFile, type MhlManifest } from "./manifest.ts";

/** A file as it was found just now. */
export interface Observation {
  readonly path: string;
  readonly bytes: number;
  /** ISO 8601. */
  readonly modifiedAt: string;
  readonly hash: { readonly format: HashFormat; readonly text: string; readonly hashDate: string };
}

/**
 * What the history already holds against a hash: `verified` where an earlier trusted hash of this format is equal,
 * `failed` where it differs, `original` where none is recorded.
 *
 * @remarks
 * Only `original` and `verified` hashes count; a `failed` one is never compared with.
 * Source: ASC MHL Specification v1.0 (2022), verification.
 */
export function actionAgainst(
  history: readonly MhlManifest[],
  path: string,
  hash: { readonly format: HashFormat; readonly text: string },
): HashAction {
  for (const manifest of history) {
    const record = manifest.files.find((file) => file.path === path);
    const known = record?.hashes.find((one) => one.format === hash.format && one.action !== "failed");
    // hexadecimal may come in capitals from elsewhere; C4's base 58 tells them apart
    const same = (a: string, b: string) =>
      hash.format === "c4" ? a === b : a.toLowerCase() === b.toLowerCase();
    if (known) return same(known.text, hash.text) ? "verified" : "failed";
  }
  return "original";
}

/** The files of the next generation, each with what it came to against the history. */
export function filesOfNextGeneration(
  history: readonly MhlManifest[],
  found: readonly Observation[],
): MhlFile[] {
  return found.map(({ path, bytes, modifiedAt, hash }) => ({
    path,
    bytes,
    modifiedAt,
    hashes: [{ ...hash, action: actionAgainst(history, path, hash) }],
  }));
}

/** The ignore list of the next generation: it can only grow. */
export function ignoreOfNextGeneration(
  history: readonly MhlManifest[],
  more: readonly string[] = [],
): string[] {
  return [...new Set([...defaultIgnore, ...history.flatMap((manifest) => manifest.ignore), ...more])];
}
