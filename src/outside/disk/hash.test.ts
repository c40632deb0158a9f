import { readFileSync } from "node:fs";
import { fc, test } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import type { HashFormat } from "#formats/mhl/hash-formats";
import { blockBytes } from "./blocks.ts";
import { beginHash, digestBytesBy, hashBytes, hashFile } from "./hash.ts";
import { memoryDisk } from "./memory-disk.ts";

const vectors = JSON.parse(
  readFileSync(new URL("../../../test/published/hash/hash_vectors.json", import.meta.url), "utf8"),
) as {
  xxhash_sanity: {
    xxh64: { len: number; seed: number; hex: string }[];
    xxh3_64_seed0: { len: number; hex: string }[];
    xxh128_seed0: { len: number; hex: string }[];
  };
  strings: { rows: ({ utf8: string } & Record<HashFormat, string>)[] };
  zeros: ({ data: string } & Record<HashFormat, string>)[];
};
const formats: readonly HashFormat[] = ["c4", "md5", "sha1", "xxh128", "xxh3", "xxh64"];

/** The buffer of xxHash's own check: byte i is g >> 56, g from 2654435761, times 11400714785074694797 each step. */
function sanityBuffer(length: number): Uint8Array {
  let g = 2654435761n;
  return Uint8Array.from({ length }, () => {
    const byte = Number((g >> 56n) & 255n);
    g = (g * 11400714785074694797n) & 0xffffffffffffffffn;
    return byte;
  });
}

describe("hashes, against xxHash's own sanity check (xsum_sanity_check.c, commit b2e9dbb), seed 0", () => {
  const { xxh64, xxh3_64_seed0, xxh128_seed0 } = vectors.xxhash_sanity;
  it.each(xxh64.filter(({ seed }) => seed === 0))("xxh64 of $len bytes", async ({ len, hex }) => {
    expect(await hashBytes("xxh64", sanityBuffer(len))).toBe(hex);
  });
  it.each(xxh3_64_seed0)("xxh3 of $len bytes", async ({ len, hex }) => {
    expect(await hashBytes("xxh3", sanityBuffer(len))).toBe(hex);
  });
  it.each(xxh128_seed0)("xxh128 of $len bytes", async ({ len, hex }) => {
    expect(await hashBytes("xxh128", sanityBuffer(len))).toBe(hex);
  });
});

describe("hashes of the published strings and of zeros", () => {
  it.each(vectors.strings.rows)("%j", async (row) => {
    for (const format of formats)
      expect(await hashBytes(format, new TextEncoder().encode(row.utf8))).toBe(row[format]);
  });
  it.each(vectors.zeros.map((row, i) => [row.data, row, 1_048_576 + i] as const))(
    "%s",
    async (_, row, length) => {
      for (const format of formats) expect(await hashBytes(format, new Uint8Array(length))).toBe(row[format]);
    },
  );
});

test.prop([fc.uint8Array({ maxLength: 3000 }), fc.array(fc.nat(3000)), fc.constantFrom(...formats)])(
  "a hash does not depend on how the bytes are cut into blocks",
  async (bytes, cuts, format) => {
    const hasher = await beginHash(format);
    const ends = [...cuts.filter((cut) => cut < bytes.length), bytes.length].sort((a, b) => a - b);
    let start = 0;
    for (const end of ends) {
      hasher.update(bytes.subarray(start, end));
      start = end;
    }
    expect(hasher.text()).toBe(await hashBytes(format, bytes));
  },
);

it.each(formats)("%s digest bytes and text are the same value", async (format) => {
  const { digestText } = await import("#formats/mhl/hash-formats");
  const digest = await digestBytesBy(format);
  const bytes = new TextEncoder().encode("flood tide");
  digest(new Uint8Array(3));
  expect(digestText(format, digest(bytes))).toBe(await hashBytes(format, bytes));
});

it("a file over two blocks hashes as its bytes do, and the progress adds up", async () => {
  const bytes = sanityBuffer(1000);
  const large = new Uint8Array(2 * blockBytes + 7);
  large.set(bytes, blockBytes - 500);
  let told = 0;
  const hash = await hashFile("/a", "xxh128", (n) => (told += n), undefined, {
    disk: memoryDisk({ "/a": large }),
  });
  expect(hash).toBe(await hashBytes("xxh128", large));
  expect(told).toBe(large.length);
});

it("stops when told to", async () => {
  const call = new AbortController();
  const disk = memoryDisk({ "/a": new Uint8Array(3 * blockBytes) });
  const work = hashFile("/a", "xxh64", () => call.abort(), call.signal, { disk });
  await expect(work).rejects.toMatchObject({ code: "CANCELLED" });
});
