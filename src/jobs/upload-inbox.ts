import { mkdir, readdir, statfs } from "node:fs/promises";
import { basename, extname, join } from "node:path";
import type { UploadAnswer } from "#documents/routes";
import { ExplainedError } from "#errors/explained-error";
import { streamWhole } from "#outside/disk/write-whole";

/** Where files lie that a page sent; inside the sitting that they are for. */
export const inboxName = "inbox";

/** So much of a drive is left free, bytes: measuring needs room too. */
const leftFreeBytes = 500e6;
const longestBytes = 150;
/** Names that one system or another keeps for devices. */
const deviceName = /^(?:con|prn|aux|nul|com\d|lpt\d)(?:\.|$)/i;

/**
 * A file's name as a page gave it, made fit for every system: the last part of a path alone, no control characters, no
 * characters that a system forbids, not hidden, no longer than drives allow.
 */
export function safeFileName(name: string): string {
  const last = basename(name.normalize("NFC").replaceAll("\\", "/"));
  const plain = last
    .replace(/[\p{Cc}<>:"|?*/]/gu, "_")
    .replace(/^[. ]+/, "")
    .replace(/[. ]+$/, "");
  const whole = plain === "" ? "recording" : deviceName.test(plain) ? `_${plain}` : plain;
  const ending = extname(whole).slice(0, 20);
  let stem = whole.slice(0, whole.length - extname(whole).length);
  while (Buffer.byteLength(stem + ending) > longestBytes) stem = [...stem].slice(0, -1).join("");
  return stem + ending;
}

/** The name, or with a number where another file has it: `A001-2.mov`. Case does not tell names apart everywhere. */
async function freeName(folder: string, name: string, taken: ReadonlySet<string>): Promise<string> {
  const known = new Set(
    [...(await readdir(folder)), ...taken].map((one) => one.normalize("NFC").toLowerCase()),
  );
  const ending = extname(name);
  const stem = name.slice(0, name.length - ending.length);
  let free = name;
  for (let n = 2; known.has(free.toLowerCase()); n++) free = `${stem}-${n}${ending}`;
  return free;
}

/** Names that are being written now, by folder: two uploads of one name at once get two. */
const writing = new Map<string, Set<string>>();

/**
 * Writes a file that comes as a stream into a sitting's inbox; it appears whole or not at all.
 *
 * @param bytes - How many are said to come; null where that is not said.
 * @throws ExplainedError `DISK_FULL` before anything is written where the drive has no room for it, and as
 *   {@link streamWhole}; `UPLOAD_INTERRUPTED` where fewer bytes came than were said.
 */
export async function takeUpload(
  folder: string,
  wanted: string,
  blocks: AsyncIterable<Uint8Array>,
  bytes: number | null,
): Promise<UploadAnswer> {
  const inbox = join(folder, inboxName);
  await mkdir(inbox, { recursive: true });
  const { bavail, bsize } = await statfs(inbox);
  const room = bavail * bsize - leftFreeBytes;
  if (bytes !== null && bytes > room) throw noRoom(wanted, bytes, room);
  const own = writing.get(inbox) ?? new Set<string>();
  writing.set(inbox, own);
  const name = await freeName(inbox, safeFileName(wanted), own);
  own.add(name);
  const path = join(inbox, name);
  try {
    const file = await streamWhole(path);
    let written = 0;
    try {
      for await (const block of blocks) {
        written += block.length;
        if (written > room) throw noRoom(wanted, written, room);
        await file.write(block);
      }
      if (bytes !== null && written !== bytes) throw interrupted(wanted, written, bytes);
    } catch (error) {
      await file.abandon();
      throw error instanceof ExplainedError ? error : interrupted(wanted, written, bytes, error);
    }
    await file.finish();
    return { path, bytes: written };
  } finally {
    own.delete(name);
  }
}

const gigabytes = (bytes: number): string => `${(Math.max(0, bytes) / 1e9).toFixed(1)} GB`;

const noRoom = (name: string, bytes: number, room: number): ExplainedError =>
  new ExplainedError(
    "DISK_FULL",
    {
      happened: `There is no room for ${name}: it takes ${gigabytes(bytes)}, and ${gigabytes(room)} are free for it.`,
      means: "It was not copied; everything else is as it was.",
      doNext:
        "Free some room, choose a folder on another drive, or name the file by its path instead of dropping it.",
    },
    { name, bytes, room },
  );

const interrupted = (name: string, written: number, bytes: number | null, cause?: unknown): ExplainedError =>
  new ExplainedError(
    "UPLOAD_INTERRUPTED",
    {
      happened: `${name} broke off after ${gigabytes(written)}${bytes === null ? "" : ` of ${gigabytes(bytes)}`}.`,
      means: "Nothing of it was kept; everything else is as it was.",
      doNext: "Drop the file again, or name it by its path.",
    },
    { name, written, bytes },
    { cause },
  );
