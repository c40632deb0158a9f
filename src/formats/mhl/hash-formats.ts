import { ExplainedError } from "#errors/explained-error";
import { c4FromSha512, sha512FromC4 } from "../c4/c4-id.ts";

/** The formats of ASC MHL v2.0 in the order in which its schema wants them. */
export const hashFormats = ["c4", "md5", "sha1", "xxh128", "xxh3", "xxh64"] as const;
export type HashFormat = (typeof hashFormats)[number];

/** Digest lengths in bytes; C4's is that of SHA-512 (SMPTE ST 2114). */
const digestBytes: Readonly<Record<HashFormat, number>> = {
  c4: 64,
  md5: 16,
  sha1: 20,
  xxh128: 16,
  xxh3: 8,
  xxh64: 8,
};

/** A digest as ASC MHL writes it: lower-case hexadecimal, C4 in base 58. */
export function digestText(format: HashFormat, digest: Uint8Array): string {
  if (format === "c4") return c4FromSha512(digest);
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

/**
 * The bytes of a digest that was written as text; the way back from {@link digestText}.
 *
 * @throws ExplainedError `HASH_NOT_READABLE`: not hexadecimal of the format's length, or not a C4 identifier.
 */
export function digestFromText(format: HashFormat, text: string): Uint8Array {
  if (format === "c4") return sha512FromC4(text);
  if (text.length !== digestBytes[format] * 2 || !/^[0-9a-fA-F]+$/.test(text)) {
    throw new ExplainedError(
      "HASH_NOT_READABLE",
      {
        happened: `"${text.slice(0, 100)}" is not an ${format} hash.`,
        means: `One has ${digestBytes[format] * 2} hexadecimal digits.`,
        doNext: "Take the hash again from where it was first written.",
      },
      { format, text },
    );
  }
  return Uint8Array.from({ length: digestBytes[format] }, (_, i) =>
    Number.parseInt(text.slice(2 * i, 2 * i + 2), 16),
  );
}
