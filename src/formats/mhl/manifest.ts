import type { HashFormat } from "./hash-formats.ts";

/** What a check of a file came to: first of its format, equal to an earlier one, or different from it. */
export type HashAction = "original" | "verified" | "failed";

export interface MhlHash {
  readonly format: HashFormat;
  readonly text: string;
  readonly action?: HashAction;
  /** ISO 8601. */
  readonly hashDate?: string;
}

/** One file in one generation. */
export interface MhlFile {
  /** From the root of the history, `/` between names, no leading `/`, no `..`. */
  readonly path: string;
  readonly bytes?: number;
  readonly createdAt?: string;
  /** ISO 8601. */
  readonly modifiedAt?: string;
  readonly hashes: readonly MhlHash[];
  readonly previousPath?: string;
}

/** One folder in one generation. */
export interface MhlFolder {
  readonly path: string;
  readonly createdAt?: string;
  readonly modifiedAt?: string;
  readonly content: readonly MhlHash[];
  readonly structure: readonly MhlHash[];
  readonly previousPath?: string;
}

/**
 * One generation of a history: what was found at one time. Never changed once written.
 *
 * Source: ASC MHL Specification v1.0 (2022), schema `urn:ASC:MHL:v2.0`.
 */
export interface MhlManifest {
  readonly creator: {
    /** ISO 8601. */
    readonly createdAt: string;
    readonly hostName: string;
    readonly tool: { readonly name: string; readonly version: string };
    readonly authors?: readonly { name: string; email?: string; phone?: string; role?: string }[];
    readonly location?: string;
    readonly comment?: string;
  };
  readonly process: "in-place" | "transfer" | "flatten";
  readonly root?: { readonly content: readonly MhlHash[]; readonly structure: readonly MhlHash[] };
  readonly ignore: readonly string[];
  readonly files: readonly MhlFile[];
  readonly folders: readonly MhlFolder[];
  /** Manifests of histories nested inside this one, with the C4 identifier of each. */
  readonly references: readonly { readonly path: string; readonly c4: string }[];
}

/** What every history leaves out, in the order of the published samples. */
export const defaultIgnore: readonly string[] = [".DS_Store", "ascmhl", "ascmhl/"];
