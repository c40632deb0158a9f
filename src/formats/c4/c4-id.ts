import { ExplainedError } from "#errors/explained-error";

// SMPTE ST 2114:2017: base 58 without 0, I, O and l; `c4` and 88 digits, 90 characters in all.
const alphabet = "123456789ABCDEFGHJKLMNPQRSTUVWXYZabcdefghijkmnopqrstuvwxyz";
const digits = 88;

/**
 * The C4 identifier of some data, from the SHA-512 digest of it.
 *
 * @param sha512 - The 64 bytes of the digest.
 * @returns 90 characters, `c4` first. The order of identifiers as text is the order of digests as numbers.
 * @throws TypeError where the digest is not 64 bytes long.
 *
 * @remarks Source: SMPTE ST 2114:2017.
 *
 * @example
 * The digest of nothing is named c459dsjf….
 */
export function c4FromSha512(sha512: Uint8Array): string {
  if (sha512.length !== 64) throw new TypeError(`a SHA-512 digest has 64 bytes, not ${sha512.length}`);
  let value = 0n;
  for (const byte of sha512) value = (value << 8n) | BigInt(byte);
  let text = "";
  while (value > 0n) {
    text = alphabet[Number(value % 58n)]! + text;
    value /= 58n;
  }
  return `c4${text.padStart(digits, alphabet[0])}`;
}

/**
 * The SHA-512 digest that a C4 identifier stands for; the way back from {@link c4FromSha512}.
 *
 * @returns 64 bytes.
 * @throws ExplainedError `HASH_NOT_READABLE`: wrong length, a character outside the alphabet, or a number over 512 bits.
 */
export function sha512FromC4(id: string): Uint8Array {
  if (id.length !== digits + 2 || !id.startsWith("c4")) throw notAnIdentifier(id);
  let value = 0n;
  for (const character of id.slice(2)) {
    const digit = alphabet.indexOf(character);
    if (digit < 0) throw notAnIdentifier(id);
    value = value * 58n + BigInt(digit);
  }
  if (value >> 512n !== 0n) throw notAnIdentifier(id);
  const bytes = new Uint8Array(64);
  for (let i = 63; i >= 0; i--) {
    bytes[i] = Number(value & 255n);
    value >>= 8n;
  }
  return bytes;
}

function notAnIdentifier(id: string): ExplainedError {
  return new ExplainedError(
    "HASH_NOT_READABLE",
    {
      happened: `"${id.slice(0, 100)}" is not a C4 identifier.`,
      means: "One has 90 characters: c4, then 88 of base 58, which leaves out 0, I, O and l.",
      doNext: "Take the identifier again from where it was first written.",
    },
    { id },
  );
}
