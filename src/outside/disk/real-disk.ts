import type { Dirent } from "node:fs";
import {
  constants,
  type FileHandle,
  link,
  mkdir,
  open,
  readdir,
  realpath,
  rename,
  rm,
  stat,
  utimes,
} from "node:fs/promises";
import { dirname, join } from "node:path";
import type { Disk, DiskEntry, DiskKind, ReadHandle } from "./disk.ts";

/** The machine's own disks. */
export const realDisk: Disk = {
  async stat(path) {
    try {
      const found = await stat(path, { bigint: true });
      return {
        kind: kindOf(found),
        bytes: Number(found.size),
        modifiedMs: Number(found.mtimeNs) / 1e6,
        drive: String(found.dev),
        identity: `${found.dev}:${found.ino}`,
      };
    } catch (error) {
      if (codeOf(error) === "ENOENT" || codeOf(error) === "ENOTDIR") return null;
      throw error;
    }
  },

  async list(folder) {
    const entries = await readdir(folder, { withFileTypes: true });
    const found: DiskEntry[] = await Promise.all(
      entries.map(async (entry) => ({ name: entry.name, kind: await kindOfEntry(folder, entry) })),
    );
    return found.sort((a, b) => (a.name < b.name ? -1 : 1));
  },

  async openForReading(path, wish) {
    // Linux only: the flag is not defined elsewhere. The block read into has to lie on a page (see blocks.ts).
    const direct = wish?.pastCache === true ? (constants.O_DIRECT ?? 0) : 0;
    if (direct !== 0) {
      try {
        return directHandle(path, await open(path, constants.O_RDONLY | direct));
      } catch (error) {
        // memory file systems and some network ones have no such way
        if (codeOf(error) !== "EINVAL") throw error;
      }
    }
    return plainHandle(await open(path, "r"));
  },

  async createForWriting(path) {
    const file = await open(path, "wx");
    return {
      async write(bytes) {
        for (let at = 0; at < bytes.length; ) {
          at += (await file.write(bytes, at, bytes.length - at)).bytesWritten;
        }
      },
      sync: () => file.sync(),
      close: () => file.close(),
    };
  },

  async setModified(path, modifiedMs) {
    await utimes(path, modifiedMs / 1000, modifiedMs / 1000);
  },

  rename,

  async renameToNew(from, to) {
    try {
      // a second name, then the first away: the one way that never replaces anything
      await link(from, to);
    } catch (error) {
      if (codeOf(error) === "EEXIST") throw error;
      // drives formatted as cards are know no second names
      if ((await realDisk.stat(to)) !== null)
        throw Object.assign(new Error(`EEXIST: ${to}`), { code: "EEXIST" });
      await rename(from, to);
      return;
    }
    await rm(from, { force: true });
  },

  removeFile: (path) => rm(path, { force: true }),

  async makeFolder(path) {
    // step by step: Node's own recursive way never ends where a parent is there and refuses with ENOENT
    const found = await realDisk.stat(path);
    if (found?.kind === "folder") return;
    if (found === null && dirname(path) !== path) await realDisk.makeFolder(dirname(path));
    try {
      await mkdir(path);
    } catch (error) {
      // another process may have made it meanwhile
      if (codeOf(error) !== "EEXIST" || (await realDisk.stat(path))?.kind !== "folder") throw error;
    }
  },

  async syncFolder(path) {
    if (process.platform === "win32") return;
    const folder = await open(path, "r");
    try {
      await folder.sync();
    } catch (error) {
      if (codeOf(error) !== "EINVAL" && codeOf(error) !== "ENOTSUP") throw error;
    } finally {
      await folder.close();
    }
  },

  realPath: (path) => realpath(path),
};

function plainHandle(file: FileHandle): ReadHandle {
  return {
    readInto: async (target, position) => (await file.read(target, 0, target.length, position)).bytesRead,
    close: () => file.close(),
  };
}

const smallestSectorBytes = 512;

function directHandle(path: string, direct: FileHandle): ReadHandle {
  let file = direct;
  let isDirect = true;
  let end = -1;
  return {
    async readInto(target, position) {
      // to ask again behind an end that lies within a sector would be refused
      if (position === end) return 0;
      try {
        const { bytesRead } = await file.read(target, 0, target.length, position);
        if (bytesRead % smallestSectorBytes !== 0) end = position + bytesRead;
        return bytesRead;
      } catch (error) {
        if (!isDirect || codeOf(error) !== "EINVAL") throw error;
        // a drive with larger sectors, or a block that does not lie on a page
        isDirect = false;
        await file.close();
        file = await open(path, "r");
        return (await file.read(target, 0, target.length, position)).bytesRead;
      }
    },
    close: () => file.close(),
  };
}

async function kindOfEntry(folder: string, entry: Dirent): Promise<DiskKind> {
  if (!entry.isSymbolicLink()) return kindOf(entry);
  // a link to a folder may lead round in a circle, so only links to files are followed
  const target = await realDisk.stat(join(folder, entry.name)).catch(() => null);
  return target?.kind === "file" ? "file" : "other";
}

function kindOf(found: { isFile(): boolean; isDirectory(): boolean }): DiskKind {
  return found.isFile() ? "file" : found.isDirectory() ? "folder" : "other";
}

function codeOf(error: unknown): string | undefined {
  return (error as NodeJS.ErrnoException).code;
}
