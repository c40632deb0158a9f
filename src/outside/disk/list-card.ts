import { basename, join } from "node:path";
import { ExplainedError } from "#errors/explained-error";
import type { Disk } from "./disk.ts";
import { explainReadError } from "./explain-disk-error.ts";
import { lockFileName } from "./lock.ts";
import { isDeadPart } from "./part-name.ts";

/** What lies on a card, or one file named by itself. */
export interface CardListing {
  /** Absolute, as named. */
  readonly root: string;
  /** Its last name. */
  readonly name: string;
  readonly drive: string;
  /** In the order of their paths. */
  readonly files: readonly {
    readonly source: string;
    /** From the root, `/` between names. */
    readonly onCard: string;
    readonly bytes: number;
    readonly modifiedMs: number;
  }[];
  /** Links to folders, devices and the like: not followed. */
  readonly notFiles: readonly string[];
}

/**
 * Lists a card without changing it.
 *
 * @param root - Absolute path of a folder or a file.
 * @param isJunk - Names of files and folders to pass over; a file that is named by itself is always taken.
 * @returns Null where nothing is at `root`. An empty folder has no files.
 * @throws ExplainedError `FILE_NOT_READABLE`: a folder in it cannot be listed.
 */
export async function listCard(
  disk: Disk,
  root: string,
  isJunk: (name: string) => boolean,
): Promise<CardListing | null> {
  const found = await disk.stat(root).catch((error) => {
    throw explainReadError(error, root);
  });
  if (!found) return null;
  const name = basename(root);
  const files: CardListing["files"][number][] = [];
  const notFiles: string[] = [];
  if (found.kind === "file") {
    files.push({ source: root, onCard: name, bytes: found.bytes, modifiedMs: found.modifiedMs });
    return { root, name, drive: found.drive, files, notFiles };
  }
  const visit = async (folder: string, path: string): Promise<void> => {
    const entries = await disk.list(folder).catch((error) => {
      throw explainReadError(error, folder);
    });
    for (const entry of entries) {
      const source = join(folder, entry.name);
      const onCard = path === "" ? entry.name : `${path}/${entry.name}`;
      if (isJunk(entry.name) || entry.name === lockFileName || isDeadPart(source)) continue;
      if (entry.kind === "folder") await visit(source, onCard);
      else if (entry.kind === "other") notFiles.push(source);
      else {
        const file = await disk.stat(source);
        if (file) files.push({ source, onCard, bytes: file.bytes, modifiedMs: file.modifiedMs });
      }
    }
  };
  await visit(root, "");
  return { root, name, drive: found.drive, files, notFiles };
}

/** Nothing to copy lies in a folder; `path` as a person knows it. */
export function folderEmpty(path: string): ExplainedError {
  return new ExplainedError(
    "FOLDER_EMPTY",
    {
      happened: `${path} holds no files.`,
      means: "There is nothing to copy from it.",
      doNext: "Give the folder that holds the recordings, or look whether the right card is connected.",
    },
    { path },
  );
}
