import { randomUUID } from "node:crypto";
import { rmSync } from "node:fs";
import { basename, join } from "node:path";
import { ExplainedError } from "#errors/explained-error";
import type { Disk } from "./disk.ts";
import { explainDiskError, systemCodeOf } from "./explain-disk-error.ts";
import { forgetPart, newPartPath } from "./part-name.ts";
import { isAlive, ownMark, type ProcessMark } from "./process-mark.ts";
import { readWhole } from "./read-whole.ts";
import { realDisk } from "./real-disk.ts";

/** Name of the file that says who is writing in a folder. */
export const lockFileName = ".gemel-lock";

interface Holder extends ProcessMark {
  /** ISO 8601. */
  readonly since: string;
  readonly token: string;
}

export interface FolderLock {
  /** Lets others write. Twice is no error. */
  release(): Promise<void>;
}

/** Locks held now: path and token. Whatever else bears this process's mark was left by a failed release. */
const held = new Map<string, string>();
let releasesOnExit = false;
const mostTries = 20;

/**
 * Claims a folder for writing, so that two processes never write one sitting at once.
 *
 * The claim is a file in the folder. One left by a process that has died, of this machine, is taken over; one of
 * another machine (a shared drive) never is, since nobody here can know whether that still works.
 *
 * @param folder - Absolute; has to be there.
 * @throws ExplainedError `DOCUMENT_BUSY`: another process holds it (`facts`: pid, host, since); `DISK_WRITE_FAILED`,
 *   `DISK_FULL`.
 */
export async function lockForWriting(
  folder: string,
  { disk = realDisk }: { readonly disk?: Disk } = {},
): Promise<FolderLock> {
  const path = join(folder, lockFileName);
  const own: Holder = { ...ownMark, since: new Date().toISOString(), token: randomUUID() };
  for (let tries = 0; tries < mostTries; tries++) {
    if (await claim(path, own, disk)) {
      held.set(path, own.token);
      releaseAllOnExit();
      return { release: () => release(path, own.token, disk) };
    }
    const holder = await readHolder(path, disk);
    if (holder === "gone") continue;
    if (holder !== "unreadable" && lives(path, holder)) throw busy(folder, holder);
    await takeAway(path, holder, disk);
  }
  throw busy(folder, null);
}

/** The lock appears with its content or not at all, and never over another. */
async function claim(path: string, own: Holder, disk: Disk): Promise<boolean> {
  const part = newPartPath(path);
  try {
    const file = await disk.createForWriting(part);
    try {
      await file.write(new TextEncoder().encode(`${JSON.stringify(own)}\n`));
      await file.sync();
    } finally {
      await file.close();
    }
    await disk.renameToNew(part, path);
    return true;
  } catch (error) {
    if (systemCodeOf(error) === "EEXIST") return false;
    throw explainDiskError(error, path);
  } finally {
    await disk.removeFile(part).catch(() => {});
    forgetPart(part);
  }
}

async function readHolder(path: string, disk: Disk): Promise<Holder | "gone" | "unreadable"> {
  try {
    const holder = JSON.parse(new TextDecoder().decode(await readWhole(path, disk))) as Partial<Holder>;
    const isWhole =
      typeof holder.pid === "number" &&
      [holder.startedAt, holder.host, holder.since, holder.token].every((one) => typeof one === "string");
    return isWhole ? (holder as Holder) : "unreadable";
  } catch (error) {
    return systemCodeOf(error) === "ENOENT" ? "gone" : "unreadable";
  }
}

function lives(path: string, holder: Holder): boolean {
  const isOurs =
    holder.pid === ownMark.pid && holder.startedAt === ownMark.startedAt && holder.host === ownMark.host;
  return isOurs ? held.get(path) === holder.token : isAlive(holder);
}

/**
 * Moves a dead lock aside and looks again at what was moved: had another process taken over in between, its lock goes
 * back.
 */
async function takeAway(path: string, dead: Holder | "unreadable", disk: Disk): Promise<void> {
  const aside = newPartPath(path);
  try {
    await disk.rename(path, aside);
    const moved = await readHolder(aside, disk);
    const isTheDead =
      dead === "unreadable"
        ? moved === "unreadable"
        : typeof moved === "object" && moved.token === dead.token;
    if (!isTheDead) await disk.renameToNew(aside, path).catch(() => {});
  } catch (error) {
    if (systemCodeOf(error) !== "ENOENT") throw explainDiskError(error, path);
  } finally {
    await disk.removeFile(aside).catch(() => {});
    forgetPart(aside);
  }
}

async function release(path: string, token: string, disk: Disk): Promise<void> {
  if (held.get(path) !== token) return;
  held.delete(path);
  const holder = await readHolder(path, disk);
  if (typeof holder === "object" && holder.token === token) await disk.removeFile(path).catch(() => {});
}

/** A process that ends by itself takes its locks along; one that is killed leaves them to be taken over. */
function releaseAllOnExit(): void {
  if (releasesOnExit) return;
  releasesOnExit = true;
  process.on("exit", () => {
    for (const path of held.keys()) rmSync(path, { force: true });
  });
}

function busy(folder: string, holder: Holder | null): ExplainedError {
  const who =
    holder === null
      ? "another process"
      : `process ${holder.pid}${holder.host === ownMark.host ? "" : ` on ${holder.host}`}, since ${holder.since}`;
  return new ExplainedError(
    "DOCUMENT_BUSY",
    {
      happened: `${basename(folder)} is being written by ${who}.`,
      means: "Two writers at once would spoil each other's work. Nothing was changed.",
      doNext:
        holder !== null && holder.host !== ownMark.host
          ? `Wait until it has finished. If that machine no longer works on it, remove ${lockFileName} from the folder.`
          : "Wait until it has finished, or end it, then give the same command again.",
    },
    { folder, pid: holder?.pid, host: holder?.host, since: holder?.since },
  );
}
