/** What a path is. `other` is a link to a folder, a device, a socket. */
export type DiskKind = "file" | "folder" | "other";

export interface DiskStat {
  readonly kind: DiskKind;
  readonly bytes: number;
  /** Milliseconds since 1970, with whatever fraction the file system keeps. */
  readonly modifiedMs: number;
  /** Names the drive (or memory card) it lies on, as long as that stays mounted. */
  readonly drive: string;
  /** Names the file on its drive: two paths with one identity are one file. */
  readonly identity: string;
}

export interface DiskEntry {
  readonly name: string;
  readonly kind: DiskKind;
}

export interface ReadHandle {
  /** Fills `target` from `position` on; answers how many bytes, 0 at the end. */
  readInto(target: Uint8Array, position: number): Promise<number>;
  close(): Promise<void>;
}

export interface WriteHandle {
  /** Appends all of `bytes`. */
  write(bytes: Uint8Array): Promise<void>;
  /** Returns when the drive says that it holds the bytes (fsync). */
  sync(): Promise<void>;
  close(): Promise<void>;
}

/**
 * The few things we ask of a disk, so that a test can put a failing one in its place. Paths are native and absolute.
 * Failures are Node's own errors with their `code`; {@link explainDiskError} puts them into sentences.
 */
export interface Disk {
  /** Follows a link to a file. Null where nothing is there. */
  stat(path: string): Promise<DiskStat | null>;
  /** In the order of names. */
  list(folder: string): Promise<DiskEntry[]>;
  /** With `pastCache` the bytes come from the drive rather than from memory, where the system can do that. */
  openForReading(path: string, wish?: { readonly pastCache?: boolean }): Promise<ReadHandle>;
  /** Fails with EEXIST where something is there. */
  createForWriting(path: string): Promise<WriteHandle>;
  setModified(path: string, modifiedMs: number): Promise<void>;
  /** Replaces what is at `to`. */
  rename(from: string, to: string): Promise<void>;
  /** As `rename`, but fails with EEXIST rather than replace anything. */
  renameToNew(from: string, to: string): Promise<void>;
  /** One file; one that is not there is no error. */
  removeFile(path: string): Promise<void>;
  /** With its parents; one that is there is no error. */
  makeFolder(path: string): Promise<void>;
  /** Makes a rename in this folder last through a power cut. Where a system cannot, it does nothing. */
  syncFolder(path: string): Promise<void>;
  /** The path with every link in it followed. */
  realPath(path: string): Promise<string>;
}
