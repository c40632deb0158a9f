import type { Disk, DiskEntry, DiskStat } from "./disk.ts";

/** What a memory disk is told to do wrong. */
export interface DiskFault {
  /** `any` counts every operation but looking (stat, list, realPath). */
  readonly failOn: "write" | "rename" | "fsync" | "read" | "any";
  /** The system's code: ENOSPC, EIO, EROFS. */
  readonly with: string;
  /** Fails from the n-th such operation on, counted from 1. Default 1. */
  readonly from?: number;
  /** Fails up to and with the n-th. Default without end. */
  readonly to?: number;
  /** Only for paths that begin so. */
  readonly under?: string;
}

/** A {@link Disk} in memory for tests: fails on request, damages on request, counts what was asked of it. */
export interface MemoryDisk extends Disk {
  /** Every file with its bytes. */
  files(): Record<string, number[]>;
  /** Every file, without its bytes. */
  paths(): string[];
  /** Puts a file there as if another program had. */
  put(path: string, bytes: Bytes, modifiedMs?: number): void;
  /** Sets or clears the fault; counting begins anew. */
  setFault(fault: DiskFault | null): void;
  /** Bytes of matching files arrive changed on the medium. */
  damageWrites(damage: ((path: string, bytes: Uint8Array) => Uint8Array) | null): void;
  /** Every path opened for reading or created, in order. */
  readonly log: {
    readonly did: "read" | "create" | "write" | "rename" | "fsync" | "remove";
    readonly path: string;
  }[];
}

type Bytes = Uint8Array | readonly number[] | string;

interface Inode {
  bytes: Uint8Array;
  modifiedMs: number;
  readonly id: number;
}

/**
 * @param files - Absolute paths with `/`, and their bytes (text is taken as UTF-8).
 */
export function memoryDisk(
  files: Readonly<Record<string, Bytes>> = {},
  fault: DiskFault | null = null,
): MemoryDisk {
  const inodes = new Map<string, Inode>();
  const folders = new Set<string>(["/"]);
  const log: MemoryDisk["log"] = [];
  let current = fault;
  let count = 0;
  let damage: ((path: string, bytes: Uint8Array) => Uint8Array) | null = null;
  let nextId = 1;
  // a clock of its own, so that no two changes share a time
  let clockMs = Date.UTC(2026, 5, 1);

  const parentOf = (path: string): string => path.slice(0, path.lastIndexOf("/")) || "/";
  const addFolder = (path: string): void => {
    for (let at = path; at !== "/" && at !== ""; at = parentOf(at)) folders.add(at);
  };
  const failed = (code: string, path: string): Error =>
    Object.assign(new Error(`${code}: ${path}`), { code, path });
  const step = (did: "write" | "rename" | "fsync" | "read" | "other", path: string): void => {
    if (!current || (current.failOn !== "any" && current.failOn !== did)) return;
    if (current.under !== undefined && !path.startsWith(current.under)) return;
    count += 1;
    if (count >= (current.from ?? 1) && count <= (current.to ?? Number.POSITIVE_INFINITY))
      throw failed(current.with, path);
  };
  const fileAt = (path: string): Inode => {
    const found = inodes.get(path);
    if (!found) throw failed(folders.has(path) ? "EISDIR" : "ENOENT", path);
    return found;
  };
  const put = (path: string, bytes: Bytes, modifiedMs?: number): void => {
    addFolder(parentOf(path));
    const plain = typeof bytes === "string" ? new TextEncoder().encode(bytes) : Uint8Array.from(bytes);
    inodes.set(path, { bytes: plain, modifiedMs: modifiedMs ?? (clockMs += 1000), id: nextId++ });
  };
  for (const [path, bytes] of Object.entries(files)) put(path, bytes);

  return {
    log,
    files: () => Object.fromEntries([...inodes].sort().map(([path, inode]) => [path, [...inode.bytes]])),
    paths: () => [...inodes.keys()].sort(),
    put,
    setFault(next) {
      current = next;
      count = 0;
    },
    damageWrites(next) {
      damage = next;
    },

    async stat(path): Promise<DiskStat | null> {
      const drive = `/${path.split("/")[1] ?? ""}`;
      const inode = inodes.get(path);
      if (inode) {
        return {
          kind: "file",
          bytes: inode.bytes.length,
          modifiedMs: inode.modifiedMs,
          drive,
          identity: `m:${inode.id}`,
        };
      }
      return folders.has(path)
        ? { kind: "folder", bytes: 0, modifiedMs: clockMs, drive, identity: `m:${path}` }
        : null;
    },
    async list(folder): Promise<DiskEntry[]> {
      if (!folders.has(folder)) throw failed(inodes.has(folder) ? "ENOTDIR" : "ENOENT", folder);
      const inside = (path: string): boolean => path !== "/" && parentOf(path) === folder;
      const name = (path: string): string => path.slice(path.lastIndexOf("/") + 1);
      return [
        ...[...folders].filter(inside).map((path) => ({ name: name(path), kind: "folder" as const })),
        ...[...inodes.keys()].filter(inside).map((path) => ({ name: name(path), kind: "file" as const })),
      ].sort((a, b) => (a.name < b.name ? -1 : 1));
    },
    async openForReading(path) {
      step("read", path);
      const inode = fileAt(path);
      log.push({ did: "read", path });
      return {
        async readInto(target, position) {
          step("read", path);
          const part = inode.bytes.subarray(position, position + target.length);
          target.set(part);
          return part.length;
        },
        async close() {},
      };
    },
    async createForWriting(path) {
      step("write", path);
      if (inodes.has(path) || folders.has(path)) throw failed("EEXIST", path);
      if (!folders.has(parentOf(path))) throw failed("ENOENT", path);
      log.push({ did: "create", path });
      put(path, []);
      const inode = fileAt(path);
      return {
        async write(bytes) {
          step("write", path);
          log.push({ did: "write", path });
          const before = inode.bytes;
          inode.bytes = new Uint8Array(before.length + bytes.length);
          inode.bytes.set(before);
          inode.bytes.set(bytes, before.length);
          inode.modifiedMs = clockMs += 1000;
        },
        async sync() {
          step("fsync", path);
          log.push({ did: "fsync", path });
        },
        async close() {
          if (damage) inode.bytes = damage(path, inode.bytes);
        },
      };
    },
    async setModified(path, modifiedMs) {
      step("other", path);
      fileAt(path).modifiedMs = modifiedMs;
    },
    async rename(from, to) {
      step("rename", to);
      const inode = fileAt(from);
      if (folders.has(to)) throw failed("EISDIR", to);
      if (!folders.has(parentOf(to))) throw failed("ENOENT", to);
      log.push({ did: "rename", path: to });
      inodes.delete(from);
      inodes.set(to, inode);
    },
    async renameToNew(from, to) {
      step("rename", to);
      const inode = fileAt(from);
      if (inodes.has(to) || folders.has(to)) throw failed("EEXIST", to);
      if (!folders.has(parentOf(to))) throw failed("ENOENT", to);
      log.push({ did: "rename", path: to });
      inodes.delete(from);
      inodes.set(to, inode);
    },
    async removeFile(path) {
      step("other", path);
      if (inodes.delete(path)) log.push({ did: "remove", path });
    },
    async makeFolder(path) {
      step("write", path);
      for (let at = path; at !== "/" && at !== ""; at = parentOf(at))
        if (inodes.has(at)) throw failed("ENOTDIR", at);
      addFolder(path);
    },
    async syncFolder(path) {
      step("fsync", path);
      if (!folders.has(path)) throw failed("ENOENT", path);
    },
    async realPath(path) {
      if (!inodes.has(path) && !folders.has(path)) throw failed("ENOENT", path);
      return path;
    },
  };
}
