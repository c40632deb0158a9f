import { open, stat } from "node:fs/promises";
import { constants } from "node:os";
import { basename } from "node:path";
import { ExplainedError } from "#errors/explained-error";
import { isNamedLikeCameraRaw, seemsToBe } from "./file-kind.ts";
import { LibraryFault } from "./library.ts";
import { topBoxes } from "./movie-boxes.ts";

/** Facts every media error carries: the file, and the library's code and words where it had any. */
function factsOf(path: string, cause?: unknown): Record<string, unknown> {
  if (cause instanceof LibraryFault) {
    return { path, step: cause.step, libraryCode: cause.code, library: cause.saying };
  }
  return { path };
}

/**
 * What to tell somebody when a file could not be written.
 *
 * @param path - The file that was to appear.
 * @returns `DISK_FULL`, `DISK_WRITE_FAILED` or `MEDIA_ENCODE_FAILED`; an ExplainedError passes through.
 */
export function explainWriting(path: string, cause: unknown): ExplainedError {
  if (cause instanceof ExplainedError) return cause;
  const name = basename(path);
  const system = systemCodeOf(cause);
  const facts = factsOf(path, cause);
  if (system === "ENOSPC" || system === "EDQUOT") {
    return new ExplainedError(
      "DISK_FULL",
      {
        happened: `The disk was full before ${name} was whole.`,
        means: "The unfinished file was removed; files written earlier are safe.",
        doNext: "Free some space on that disk, or choose another, and give the same command again.",
      },
      facts,
      { cause },
    );
  }
  if (system !== undefined) {
    return new ExplainedError(
      "DISK_WRITE_FAILED",
      {
        happened: `${name} could not be written (${system}).`,
        means: "Nothing appeared under that name; files written earlier are safe.",
        doNext: `Check that the folder ${path.slice(0, -name.length) || "."} exists, that you may write there and that its drive is connected.`,
      },
      facts,
      { cause },
    );
  }
  return new ExplainedError(
    "MEDIA_ENCODE_FAILED",
    {
      happened: `${name} could not be encoded.`,
      means: "Nothing appeared under that name; the recordings are unchanged.",
      doNext: "Give the same command again; if it fails twice, report it with the facts below.",
    },
    facts,
    { cause },
  );
}

/**
 * Looks at a file before the library does.
 *
 * @returns Its size in bytes.
 * @throws ExplainedError `FILE_MISSING`, `FILE_NOT_READABLE`, `MEDIA_NOT_RECOGNISED`.
 */
export async function sizeOfMediaFile(path: string): Promise<number> {
  const name = basename(path);
  const notAFile = (what: string): ExplainedError =>
    new ExplainedError(
      "MEDIA_NOT_RECOGNISED",
      {
        happened: `${name} is ${what}, not a recording.`,
        means: "There is no sound or picture in it to read; nothing was changed.",
        doNext:
          what === "a folder"
            ? "Name the recordings inside it instead."
            : "Name a recording instead, or copy this one from its card again.",
      },
      { path, seemsToBe: what },
    );
  try {
    const found = await stat(path);
    if (found.isDirectory()) throw notAFile("a folder");
    if (!found.isFile()) throw notAFile("a device or a pipe");
    if (found.size === 0) throw notAFile("an empty file");
    // Opening it is the only honest test of permission.
    await (await open(path, "r")).close();
    return found.size;
  } catch (cause) {
    throw cause instanceof ExplainedError ? cause : explainUnreadable(path, cause);
  }
}

function explainUnreadable(path: string, cause: unknown): ExplainedError {
  const name = basename(path);
  const system = systemCodeOf(cause);
  if (system === "ENOENT" || system === "ENOTDIR") {
    return new ExplainedError(
      "FILE_MISSING",
      {
        happened: `There is no file ${path}.`,
        means: "Nothing was read or changed.",
        doNext: "Check the spelling, and that the card or drive it lies on is connected.",
      },
      factsOf(path, cause),
      { cause },
    );
  }
  const denied = system === "EACCES" || system === "EPERM";
  return new ExplainedError(
    "FILE_NOT_READABLE",
    {
      happened: denied
        ? `You have no permission to read ${name}.`
        : `${name} could not be read (${system ?? "read error"}).`,
      means: "Nothing was read or changed.",
      doNext: denied
        ? "Give yourself permission to read it, or copy it to a folder of your own."
        : "Check the cable and the drive, then give the same command again; if it fails twice, use another copy.",
    },
    factsOf(path, cause),
    { cause },
  );
}

/**
 * Finds out why the library could not open a file that exists.
 *
 * @returns `MEDIA_CAMERA_RAW`, `MEDIA_NO_INDEX`, `MEDIA_NOT_RECOGNISED` or `FILE_NOT_READABLE`; an
 *   ExplainedError passes through.
 */
export async function explainOpening(path: string, cause: unknown): Promise<ExplainedError> {
  if (cause instanceof ExplainedError) return cause;
  if (systemCodeOf(cause) !== undefined) return explainUnreadable(path, cause);
  if (isNamedLikeCameraRaw(path)) return explainCameraRaw(path, cause);
  const name = basename(path);
  const boxes = await topBoxes(path).catch(() => []);
  const has = (type: string): boolean => boxes.some((box) => box.type === type);
  if (has("mdat") && !has("moov")) {
    return new ExplainedError(
      "MEDIA_NO_INDEX",
      {
        happened: `${name} was cut off before its index was written.`,
        means:
          "Sound and picture are in it, but nothing says where; this happens when a camera loses power or a copy breaks off. Nothing was changed.",
        doNext:
          "Copy it from the card again; if the card's own file is like this, put the card back in the camera that wrote it and let it repair the recording.",
      },
      { ...factsOf(path, cause), boxes: boxes.map((box) => box.type) },
      { cause },
    );
  }
  const what = seemsToBe(await readHead(path));
  return new ExplainedError(
    "MEDIA_NOT_RECOGNISED",
    {
      happened: `${name} is not a recording that can be read: it seems to be ${what}.`,
      means: "There is no sound or picture in it that could be used; nothing was changed.",
      doNext: "Leave it out, or copy the recording from its card again.",
    },
    { ...factsOf(path, cause), seemsToBe: what },
    { cause },
  );
}

/** Undeveloped sensor data, by name or because no open decoder knows the pictures. */
export function explainCameraRaw(path: string, cause?: unknown): ExplainedError {
  const name = basename(path);
  const stem = name.replace(/\.[^.]*$/, "");
  return new ExplainedError(
    "MEDIA_CAMERA_RAW",
    {
      happened: `${name} holds camera-raw pictures, which only their maker's converter can develop.`,
      means: "Neither its pictures nor a match of its colour can be made from this file; it was not changed.",
      doNext: `Make a proxy with the maker's converter and lay it beside with the same name: ${stem}.mov or ${stem}.mp4.`,
    },
    factsOf(path, cause),
    { cause },
  );
}

/** The file opened, but a needed part is missing or nothing of it decodes. */
export function explainMissing(path: string, part: "sound" | "picture"): ExplainedError {
  const name = basename(path);
  return new ExplainedError(
    part === "sound" ? "MEDIA_NO_SOUND" : "MEDIA_NO_PICTURE",
    {
      happened: `${name} has no ${part}.`,
      means:
        part === "sound"
          ? "It cannot be heard, so it can only be placed by timecode or slate."
          : "It can be heard but not seen.",
      doNext:
        part === "sound" ? "Use another recording for the sound." : "Use another recording for the picture.",
    },
    { path },
  );
}

/** Streams were found, yet not one sample or frame of them can be decoded. */
export function explainNothingDecodes(path: string, cause?: unknown): ExplainedError {
  const name = basename(path);
  return new ExplainedError(
    "MEDIA_DECODE_FAILED",
    {
      happened: `${name} opens, but nothing in it can be decoded.`,
      means: "Its index is whole and what it points to is damaged or missing; nothing was changed.",
      doNext: "Copy it from the card again; if that copy is the same, use another recording.",
    },
    factsOf(path, cause),
    { cause },
  );
}

/**
 * Passes items on; a fault of the library on the way is told as damage of the file.
 *
 * @throws ExplainedError `MEDIA_DECODE_FAILED`, or whatever else the source throws.
 */
export async function* explained<Item>(path: string, items: AsyncIterable<Item>): AsyncGenerator<Item> {
  try {
    yield* items;
  } catch (cause) {
    throw explainReading(path, cause);
  }
}

/** A fault of the library while it was reading a file, as advice; anything else passes through. */
export function explainReading(path: string, cause: unknown): unknown {
  if (!(cause instanceof LibraryFault)) return cause;
  return new ExplainedError(
    "MEDIA_DECODE_FAILED",
    {
      happened: `Reading ${basename(path)} stopped: the library could not ${cause.step}.`,
      means:
        "The file is damaged there, or holds pictures of a kind that cannot be worked with; nothing was changed.",
      doNext:
        "Copy it from the card again, or make a proxy with another program and lay it beside with the same name.",
    },
    factsOf(path, cause),
    { cause },
  );
}

async function readHead(path: string): Promise<Uint8Array> {
  const file = await open(path, "r");
  try {
    const { buffer, bytesRead } = await file.read(Buffer.alloc(4096), 0, 4096, 0);
    return buffer.subarray(0, bytesRead);
  } finally {
    await file.close();
  }
}

/** Failures of the disk or the way to it; any other number comes from the library's own logic. */
const diskFailures = [
  "EACCES",
  "EDQUOT",
  "EFBIG",
  "EIO",
  "EISDIR",
  "ENODEV",
  "ENOENT",
  "ENOSPC",
  "ENOTDIR",
  "ENXIO",
  "EPERM",
  "EROFS",
];

/** FFmpeg carries the system's own error numbers, which differ from system to system, as their negatives. */
const systemCodes = new Map(
  Object.entries(constants.errno)
    .filter(([name]) => diskFailures.includes(name))
    .map(([name, number]) => [-number, name]),
);

/** `ENOSPC` and its like from a Node error or a library fault; undefined where the disk is not to blame. */
export function systemCodeOf(cause: unknown): string | undefined {
  if (cause instanceof LibraryFault) return systemCodes.get(cause.code);
  if (cause instanceof Error && "code" in cause && typeof cause.code === "string") return cause.code;
  return undefined;
}
