import { createHash } from "node:crypto";
import { join } from "node:path";
import type { RoomPictureAnswer } from "#documents/routes";
import { ExplainedError } from "#errors/explained-error";
import { makeFolder } from "#outside/disk/make-folder";
import { writeWhole } from "#outside/disk/write-whole";

/** A rendered frame at the report's size is far less. */
export const mostPictureBytes = 8_000_000;

const signature = [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a];
const mostPixels = 4096;

/**
 * Keeps what a page rendered of the plan, named by its content: the same picture twice is one file.
 *
 * @param sitting - Its folder.
 * @param bytes - A whole PNG: signature, header first, IEND last. [PNG-3] 5.2, 11.2.1
 * @throws ExplainedError `PICTURE_INVALID`, `DISK_FULL`, `DISK_WRITE_FAILED`; nothing is kept then.
 */
export async function keepRoomPicture(sitting: string, bytes: Uint8Array): Promise<RoomPictureAnswer> {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const isChunk = (at: number, name: string): boolean =>
    [...name].every((letter, i) => bytes[at + 4 + i] === letter.charCodeAt(0));
  const isPng =
    bytes.length >= 57 &&
    signature.every((byte, i) => bytes[i] === byte) &&
    view.getUint32(8) === 13 &&
    isChunk(8, "IHDR") &&
    isChunk(bytes.length - 12, "IEND");
  const [width, height] = isPng ? [view.getUint32(16), view.getUint32(20)] : [0, 0];
  if (width < 1 || height < 1 || width > mostPixels || height > mostPixels)
    throw new ExplainedError("PICTURE_INVALID", {
      happened: "What came is not a whole PNG picture of at most 4096 pixels a side.",
      means: "Nothing was kept; the report shows what it showed.",
      doNext: "Load the page again, then put the pictures in the report once more.",
    });
  const file = `pictures/${createHash("sha256").update(bytes).digest("hex").slice(0, 24)}.png`;
  await makeFolder(join(sitting, "pictures"));
  await writeWhole(join(sitting, file), bytes);
  return { file };
}
