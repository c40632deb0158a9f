import { createHash } from "node:crypto";
import { Xxh64, xxh3 } from "@node-rs/xxhash";
import { createXXHash128 } from "hash-wasm";
import { c4FromSha512 } from "#formats/c4/c4-id";
import { digestFromText, type HashFormat } from "#formats/mhl/hash-formats";
import { readBlocks } from "./blocks.ts";
import type { Disk } from "./disk.ts";
import { realDisk } from "./real-disk.ts";

/** A hash in the making. */
export interface Hasher {
  update(bytes: Uint8Array): void;
  /** Ends it. Lower-case hexadecimal, most significant digit first; for C4 its 90 characters. */
  text(): string;
}

/**
 * Begins a hash. For identity and copies use xxh128: it is fast and long enough that two recordings never share one by
 * chance. It does not resist forgery; c4 does.
 *
 * @remarks
 * Each from what measured fastest on Node 20 for blocks of 4 MiB: xxh64 and xxh3 compiled Rust, xxh128 WebAssembly
 * (the Rust package cannot stream it), md5, sha1 and c4's SHA-512 Node's own. Sources: xxHash specification, seed 0;
 * RFC 1321; FIPS 180-4; SMPTE ST 2114.
 */
export async function beginHash(format: HashFormat): Promise<Hasher> {
  if (format === "xxh128") {
    const state = (await createXXHash128()).init();
    return { update: (bytes) => void state.update(bytes), text: () => state.digest("hex") };
  }
  if (format === "xxh64" || format === "xxh3") {
    const state = format === "xxh64" ? new Xxh64() : xxh3.Xxh3.withSeed();
    return {
      update: (bytes) => void state.update(bytes),
      text: () => state.digest().toString(16).padStart(16, "0"),
    };
  }
  const state = createHash(format === "c4" ? "sha512" : format);
  return {
    update: (bytes) => void state.update(bytes),
    text: () => (format === "c4" ? c4FromSha512(state.digest()) : state.digest("hex")),
  };
}

/**
 * The hash of a whole file, read block by block.
 *
 * @param onBytes - Told after each block how many bytes it had.
 * @throws ExplainedError `FILE_MISSING`, `FILE_NOT_READABLE`, `CANCELLED`.
 */
export async function hashFile(
  path: string,
  format: HashFormat,
  onBytes?: (bytes: number) => void,
  signal?: AbortSignal,
  { disk = realDisk, pastCache = false }: { readonly disk?: Disk; readonly pastCache?: boolean } = {},
): Promise<string> {
  const hasher = await beginHash(format);
  for await (const block of readBlocks(disk, path, { signal, pastCache })) {
    hasher.update(block);
    onBytes?.(block.length);
  }
  return hasher.text();
}

/** The hash of bytes in memory, as text. */
export async function hashBytes(format: HashFormat, bytes: Uint8Array): Promise<string> {
  const hasher = await beginHash(format);
  hasher.update(bytes);
  return hasher.text();
}

/** A function that hashes small pieces at once, one after another, to digest bytes; for hashes of hashes. */
export async function digestBytesBy(format: HashFormat): Promise<(bytes: Uint8Array) => Uint8Array> {
  if (format === "xxh128") {
    const state = await createXXHash128();
    return (bytes) => state.init().update(bytes).digest("binary");
  }
  if (format === "xxh64" || format === "xxh3") {
    return (bytes) => {
      const state = format === "xxh64" ? new Xxh64() : xxh3.Xxh3.withSeed();
      return digestFromText(format, state.update(bytes).digest().toString(16).padStart(16, "0"));
    };
  }
  return (bytes) =>
    createHash(format === "c4" ? "sha512" : format)
      .update(bytes)
      .digest();
}
