import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { fc, test } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import { c4FromSha512, sha512FromC4 } from "./c4-id.ts";

const vectors = JSON.parse(
  readFileSync(new URL("../../../test/published/hash/hash_vectors.json", import.meta.url), "utf8"),
) as {
  strings: { rows: { utf8: string; c4: string }[] };
  c4: Record<"all_zero_digest" | "all_ff_digest" | "digest_value_58" | "digest_value_0x0d24", string>;
};

function digestOfValue(value: number): Uint8Array {
  const digest = new Uint8Array(64);
  new DataView(digest.buffer).setUint32(60, value);
  return digest;
}

describe("C4 identifiers, against SMPTE ST 2114:2017 and the tests of its public implementation", () => {
  it.each(vectors.strings.rows)("names $utf8 as published", ({ utf8, c4 }) => {
    expect(c4FromSha512(createHash("sha512").update(utf8).digest())).toBe(c4);
  });

  it("pads small digests to 90 characters", () => {
    expect(c4FromSha512(new Uint8Array(64))).toBe(vectors.c4.all_zero_digest);
    expect(c4FromSha512(digestOfValue(58))).toBe(vectors.c4.digest_value_58);
    expect(c4FromSha512(digestOfValue(0x0d24))).toBe(vectors.c4.digest_value_0x0d24);
    expect(c4FromSha512(new Uint8Array(64).fill(255))).toBe(vectors.c4.all_ff_digest);
  });

  it.each([
    // both from the same implementation's list of invalid identifiers
    "c430cjRutKqZSCrW43QGU1uwRZTGoVD7A7kPHKQ1z4X1Ge8mhW4Q1gk48Ld8VFpprQBfUC8JNvHYVgq453hCFrgf9D",
    "c459dsjfscH38cYeXXYogktxf4Cd9ibshE3BHUo6a58hBXmRQdZrAkZzsWcbWtDg5oQstpDuni4Hirj75GEmTc1sF",
    `c4${"z".repeat(88)}`,
  ])("refuses %s", (id) => {
    expect(() => sha512FromC4(id)).toThrow(expect.objectContaining({ code: "HASH_NOT_READABLE" }));
  });

  const digest = fc.uint8Array({ minLength: 64, maxLength: 64 });
  test.prop([digest])("comes back to the digest", (bytes) => {
    expect(sha512FromC4(c4FromSha512(bytes))).toEqual(bytes);
  });
  test.prop([digest, digest])("orders as the digests do", (a, b) => {
    expect(c4FromSha512(a) < c4FromSha512(b)).toBe(Buffer.compare(a, b) < 0);
  });
});
