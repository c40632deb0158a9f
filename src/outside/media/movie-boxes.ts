import type { FileHandle } from "node:fs/promises";
import { open } from "node:fs/promises";

/** One box of an ISO base media file (ISO/IEC 14496-12, 4.2) or atom of a QuickTime file. */
export interface Box {
  readonly type: string;
  /** Where its content begins and ends in the file, bytes. */
  readonly from: number;
  readonly end: number;
  /** The content ends behind the file's own end. */
  readonly isCut: boolean;
}

/** Boxes deeper than this are not looked at; real files need six levels. */
const mostBoxes = 10_000;

/** The boxes between two places of a file, in order. Stops without complaint at what is not a box. */
async function boxesBetween(file: FileHandle, from: number, end: number): Promise<Box[]> {
  const boxes: Box[] = [];
  const head = new DataView(new ArrayBuffer(16));
  for (let at = from; at + 8 <= end && boxes.length < mostBoxes; ) {
    const { bytesRead } = await file.read(head, 0, 16, at);
    if (bytesRead < 8) break;
    let size = head.getUint32(0);
    const type = String.fromCharCode(head.getUint8(4), head.getUint8(5), head.getUint8(6), head.getUint8(7));
    if (!/^[\x20-\x7e\xa9]{4}$/.test(type)) break;
    let headSize = 8;
    if (size === 1 && bytesRead === 16) {
      size = Number(head.getBigUint64(8));
      headSize = 16;
    }
    if (size === 0) size = end - at;
    if (size < headSize) break;
    boxes.push({ type, from: at + headSize, end: Math.min(at + size, end), isCut: at + size > end });
    at += size;
  }
  return boxes;
}

/** The top-level boxes of a file; empty where the file is of another kind. */
export async function topBoxes(path: string): Promise<Box[]> {
  const file = await open(path, "r");
  try {
    return await boxesBetween(file, 0, (await file.stat()).size);
  } finally {
    await file.close();
  }
}

/** A run of samples of equal duration: a row of the `stts` box (ISO/IEC 14496-12, 8.6.1.2). */
export interface DurationRun {
  readonly count: number;
  readonly delta: number;
}

/**
 * Frame durations of the first picture track, in the track's own time scale, straight from the index: exact,
 * and without reading the pictures.
 *
 * @returns null where the file has no such index (another container, or fragments).
 */
export async function pictureDurations(path: string): Promise<DurationRun[] | null> {
  const file = await open(path, "r");
  try {
    const top = await boxesBetween(file, 0, (await file.stat()).size);
    if (top.some((box) => box.type === "moof")) return null;
    const inside = async (boxes: readonly Box[], type: string): Promise<Box[]> => {
      const found = boxes.find((box) => box.type === type);
      return found ? boxesBetween(file, found.from, found.end) : [];
    };
    const tracks = (await inside(top, "moov")).filter((box) => box.type === "trak");
    for (const track of tracks) {
      const media = await inside(await boxesBetween(file, track.from, track.end), "mdia");
      const handler = media.find((box) => box.type === "hdlr");
      if (!handler || (await fourLettersAt(file, handler.from + 8)) !== "vide") continue;
      const table = (await inside(await inside(media, "minf"), "stbl")).find((box) => box.type === "stts");
      return table ? await readRuns(file, table) : null;
    }
    return null;
  } finally {
    await file.close();
  }
}

async function fourLettersAt(file: FileHandle, at: number): Promise<string> {
  const { buffer } = await file.read(Buffer.alloc(4), 0, 4, at);
  return buffer.toString("latin1");
}

async function readRuns(file: FileHandle, table: Box): Promise<DurationRun[]> {
  const size = Math.min(table.end - table.from, 16 * 1024 * 1024);
  const { buffer, bytesRead } = await file.read(Buffer.alloc(size), 0, size, table.from);
  if (bytesRead < 8) return [];
  const rows = Math.min(buffer.readUInt32BE(4), Math.floor((bytesRead - 8) / 8));
  return Array.from({ length: rows }, (_, i) => ({
    count: buffer.readUInt32BE(8 + 8 * i),
    delta: buffer.readUInt32BE(12 + 8 * i),
  }));
}
