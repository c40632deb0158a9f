import { createHash, randomBytes } from "node:crypto";
import { basename, dirname, join } from "node:path";
import { isAlive, ownMark } from "./process-mark.ts";

/** Parts that this process is writing now; whatever else bears its mark was left by a failed removal. */
const ownParts = new Set<string>();

const hostMark = (host: string): string => createHash("sha256").update(host).digest("hex").slice(0, 8);
const pattern = /^\..*\.([0-9a-f]{8})-(\d+)-(\d+)-[0-9a-f]{12}\.part$/s;
const longestKeptBytes = 150;

/**
 * A name beside `path` for a file that is still being written: hidden, ends in `.part`, and carries which process of
 * which machine writes it, so that {@link isDeadPart} can tell whether anybody still does.
 */
export function newPartPath(path: string): string {
  let kept = basename(path);
  // most file systems end names at 255 bytes
  while (Buffer.byteLength(kept) > longestKeptBytes) kept = kept.slice(0, -1);
  const mark = `${hostMark(ownMark.host)}-${ownMark.pid}-${ownMark.startedAt}-${randomBytes(6).toString("hex")}`;
  const part = join(dirname(path), `.${kept}.${mark}.part`);
  ownParts.add(part);
  return part;
}

/** To be called when a part was renamed, removed, or given up. */
export function forgetPart(partPath: string): void {
  ownParts.delete(partPath);
}

/** Whether a path is a part of ours, on this machine, that no living process writes. */
export function isDeadPart(path: string): boolean {
  const found = pattern.exec(basename(path));
  if (!found || found[1] !== hostMark(ownMark.host)) return false;
  const mark = { pid: Number(found[2]), startedAt: found[3]!, host: ownMark.host };
  if (mark.pid === ownMark.pid && mark.startedAt === ownMark.startedAt) return !ownParts.has(path);
  return !isAlive(mark);
}
