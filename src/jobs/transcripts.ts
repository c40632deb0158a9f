import { createHash } from "node:crypto";
import { readFile, stat } from "node:fs/promises";
import { basename, extname, isAbsolute, join } from "node:path";
import type { Recording } from "#documents/recording";
import type { TranscriptAnswer } from "#documents/routes";
import { ExplainedError } from "#errors/explained-error";
import { decodeText } from "#formats/captions/decode-text";
import { readCaptions } from "#formats/captions/read-captions";
import { readWebVtt } from "#formats/webvtt/read-webvtt";
import { makeFolder } from "#outside/disk/make-folder";
import { writeWhole } from "#outside/disk/write-whole";
import { safeFileName } from "./upload-inbox.ts";

/*
 * transcripts/ in a sitting: the transcripts that were brought in, as UTF-8, each named by its content. They are said,
 * not measured: a copy, because the file that a person drops may be gone tomorrow.
 */

/** A day of talk, word by word, is less. */
export const mostTranscriptBytes = 8_000_000;

/**
 * Reads a transcript and keeps it; the same one twice is one file.
 *
 * @param name - The file's own name.
 * @throws ExplainedError `TRANSCRIPT_INVALID`, `DISK_FULL`, `DISK_WRITE_FAILED`; nothing is kept then.
 */
export async function keepTranscript(
  sitting: string,
  name: string,
  bytes: Uint8Array,
  recordings: readonly Recording[],
): Promise<TranscriptAnswer> {
  const shown = safeFileName(name);
  const text = decodeText(bytes);
  const { lines, leftOut } = readCaptions(text, shown);
  const content = createHash("sha256").update(text).digest("hex").slice(0, 24);
  const file = `transcripts/${content}.${readWebVtt(text) ? "vtt" : "srt"}`;
  await makeFolder(join(sitting, "transcripts"));
  await writeWhole(join(sitting, file), text);
  return { file, name: shown, lines: lines.length, leftOut, recording: calledLike(shown, recordings) };
}

/** The recording whose file has the same name, but for what stands after its first dot; null where it is not one alone. */
function calledLike(name: string, recordings: readonly Recording[]): string | null {
  const stem = (path: string): string => basename(path).replace(/\..*$/u, "").toLowerCase();
  const found = recordings.filter(({ path }) => stem(path) === stem(name));
  return found.length === 1 ? found[0]!.hash : null;
}

/**
 * Reads a transcript that a person named by its path.
 *
 * @throws ExplainedError `USAGE`, `FILE_MISSING`, `TRANSCRIPT_INVALID`.
 */
export async function readTranscriptFile(path: string): Promise<{ name: string; bytes: Uint8Array }> {
  const refuse = (
    code: "USAGE" | "FILE_MISSING" | "TRANSCRIPT_INVALID",
    happened: string,
    doNext: string,
  ): ExplainedError =>
    new ExplainedError(code, { happened, means: "Nothing was taken over.", doNext }, { path });
  if (!isAbsolute(path) || path.includes("\0"))
    throw refuse(
      "USAGE",
      `${JSON.stringify(path)} is not a whole path.`,
      "Write it from the root of the drive on.",
    );
  if (![".vtt", ".srt", ".txt"].includes(extname(path).toLowerCase()))
    throw refuse(
      "TRANSCRIPT_INVALID",
      `${basename(path)} is not called like a transcript.`,
      "Name a file that ends in .vtt or .srt.",
    );
  const found = await stat(path).catch(() => undefined);
  if (!found?.isFile())
    throw refuse("FILE_MISSING", `There is no file ${path}.`, "Correct the path, or connect its drive.");
  if (found.size > mostTranscriptBytes)
    throw refuse(
      "TRANSCRIPT_INVALID",
      `${basename(path)} is larger than ${mostTranscriptBytes / 1e6} MB.`,
      "Export the words alone, with their times.",
    );
  return { name: basename(path), bytes: await readFile(path) };
}
