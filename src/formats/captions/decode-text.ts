/** Windows-1252 from 0x80 to 0x9F, as in the WHATWG Encoding Standard; its other codes are those of Latin-1. */
const from0x80 = "€\u0081‚ƒ„…†‡ˆ‰Š‹Œ\u008dŽ\u008f\u0090‘’“”•–—˜™š›œ\u009džŸ";

/**
 * Text of a caption file, whose encoding nothing names: by its byte order mark, else UTF-8 where it is valid, else
 * Windows-1252, which older caption files are in (common practice).
 *
 * @param bytes - The whole file.
 */
export function decodeText(bytes: Uint8Array): string {
  const [a, b] = bytes;
  if (a === 0xff && b === 0xfe) return new TextDecoder("utf-16le").decode(bytes);
  if (a === 0xfe && b === 0xff) return new TextDecoder("utf-16be").decode(bytes);
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    // Not every runtime's decoder of that name knows more than Latin-1.
    return Array.from(bytes, (byte) => from0x80[byte - 0x80] ?? String.fromCharCode(byte)).join("");
  }
}
