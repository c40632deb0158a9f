import { extname } from "node:path";

/** What the first bytes of a file say that it is, in words for a sentence: "a JPEG picture". */
export function seemsToBe(head: Uint8Array): string {
  if (head.length === 0) return "an empty file";
  if (head.every((byte) => byte === 0)) return "a file of zeros";
  for (const [what, offset, signature] of signatures) {
    if (signature.every((byte, i) => head[offset + i] === byte)) return what;
  }
  if (looksLikeText(head)) {
    const start = new TextDecoder().decode(head.subarray(0, 512)).trimStart().toLowerCase();
    if (start.startsWith("<!doctype html") || start.startsWith("<html")) return "a web page";
    if (start.startsWith("<?xml") || start.startsWith("<")) return "an XML document";
    if (start.startsWith("{") || start.startsWith("[")) return "a JSON document";
    return "a text file";
  }
  return "data of an unknown kind";
}

const ascii = (text: string): number[] => [...text].map((letter) => letter.charCodeAt(0));

// Signatures as registered with IANA media types or printed in each format's own specification.
const signatures: readonly (readonly [string, number, readonly number[]])[] = [
  ["a JPEG picture", 0, [0xff, 0xd8, 0xff]],
  ["a PNG picture", 0, [0x89, ...ascii("PNG")]],
  ["a GIF picture", 0, ascii("GIF8")],
  ["a TIFF picture", 0, [0x49, 0x49, 0x2a, 0]],
  ["a TIFF picture", 0, [0x4d, 0x4d, 0, 0x2a]],
  ["a WebP picture", 8, ascii("WEBP")],
  ["a PDF document", 0, ascii("%PDF")],
  ["a ZIP archive", 0, [0x50, 0x4b, 3, 4]],
  ["a gzip archive", 0, [0x1f, 0x8b]],
  ["a 7z archive", 0, [0x37, 0x7a, 0xbc, 0xaf]],
  ["a program", 0, [0x7f, ...ascii("ELF")]],
  ["a program", 0, ascii("MZ")],
  ["a database file", 0, ascii("SQLite format 3")],
  ["a damaged MP4 or MOV", 4, ascii("ftyp")],
  ["a damaged MOV", 4, ascii("moov")],
  ["a damaged MOV", 4, ascii("mdat")],
  ["a damaged Matroska file", 0, [0x1a, 0x45, 0xdf, 0xa3]],
  ["a damaged WAV file", 8, ascii("WAVE")],
];

function looksLikeText(head: Uint8Array): boolean {
  let odd = 0;
  for (const byte of head) {
    if (byte === 0) return false;
    if (byte < 9 || (byte > 13 && byte < 32)) odd++;
  }
  try {
    new TextDecoder("utf-8", { fatal: true }).decode(head.subarray(0, Math.max(0, head.length - 4)));
  } catch {
    odd += head.length / 50;
  }
  return odd <= head.length / 100;
}

/** Endings under which cameras keep sensor data that only their maker's converter develops. */
const rawEndings = new Set([
  ".3fr",
  ".ari",
  ".arw",
  ".arx",
  ".braw",
  ".cine",
  ".cr2",
  ".cr3",
  ".crm",
  ".dng",
  ".kdc",
  ".mlv",
  ".nef",
  ".nev",
  ".orf",
  ".pef",
  ".r3d",
  ".raf",
  ".rmf",
  ".rw2",
  ".srw",
  ".x3f",
]);

/** Whether the name is one under which undeveloped sensor data is kept. */
export function isNamedLikeCameraRaw(path: string): boolean {
  return rawEndings.has(extname(path).toLowerCase());
}
