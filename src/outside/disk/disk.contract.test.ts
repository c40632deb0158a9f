import { mkdtemp, rm, symlink } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, beforeEach, describe, expect, it } from "vitest";
import type { Disk } from "./disk.ts";
import { hashFile } from "./hash.ts";
import { memoryDisk } from "./memory-disk.ts";
import { readWhole } from "./read-whole.ts";
import { realDisk } from "./real-disk.ts";

let real = "";
beforeAll(async () => {
  real = await mkdtemp(join(tmpdir(), "gemel-disk-"));
});
afterAll(() => rm(real, { recursive: true, force: true }));

const bytes = (...values: number[]): Uint8Array => Uint8Array.from(values);

// Contract suite: the memory disk behaves as the real one wherever our code relies on it.
describe.each<[string, () => Disk]>([
  ["the real disk", () => realDisk],
  ["the memory disk", () => memoryDisk()],
])("%s", (_, make) => {
  let disk: Disk;
  let home = "";
  const write = async (name: string, content: Uint8Array): Promise<string> => {
    const file = await disk.createForWriting(join(home, name));
    await file.write(content);
    await file.sync();
    await file.close();
    return join(home, name);
  };
  const code = (work: Promise<unknown>): Promise<unknown> =>
    work.then(
      () => "no error",
      (error) => error.code,
    );
  beforeEach(async () => {
    disk = make();
    home = join(real, String(Math.random()).slice(2));
    await disk.makeFolder(home);
  });

  it("gives back what was written, appended block by block", async () => {
    const file = await disk.createForWriting(join(home, "a"));
    for (const part of [bytes(1, 2), bytes(), bytes(3)]) await file.write(part);
    await file.close();
    expect([...(await readWhole(join(home, "a"), disk))]).toEqual([1, 2, 3]);
    expect(await disk.stat(join(home, "a"))).toMatchObject({ kind: "file", bytes: 3 });
  });

  it("keeps every byte of a file larger than the first block of readWhole", async () => {
    const large = Uint8Array.from({ length: 300_001 }, (_unused, i) => (i * 31) & 255);
    const path = await write("large", large);
    expect(Buffer.compare(await readWhole(path, disk), large)).toBe(0);
    expect(await hashFile(path, "xxh64", undefined, undefined, { disk, pastCache: true })).toBe(
      await hashFile(path, "xxh64", undefined, undefined, { disk }),
    );
  });

  it("never creates over a file", async () => {
    await write("a", bytes(1));
    expect(await code(disk.createForWriting(join(home, "a")))).toBe("EEXIST");
  });

  it("creates nothing in a folder that is not there", async () => {
    expect(await code(disk.createForWriting(join(home, "none", "a")))).toBe("ENOENT");
  });

  it("answers null for what is not there, also below a file", async () => {
    await write("a", bytes(1));
    expect(await disk.stat(join(home, "none"))).toBeNull();
    expect(await disk.stat(join(home, "a", "b"))).toBeNull();
  });

  it("tells a missing file on opening", async () => {
    expect(await code(disk.openForReading(join(home, "none")))).toBe("ENOENT");
    expect(await code(readWhole(join(home, "none"), disk))).toBe("FILE_MISSING");
  });

  it("renames over a file, but not when it may only rename to a new name", async () => {
    const [from, to] = [await write("a", bytes(1)), await write("b", bytes(2))];
    expect(await code(disk.renameToNew(from, to))).toBe("EEXIST");
    expect([...(await readWhole(to, disk))]).toEqual([2]);
    await disk.rename(from, to);
    expect([...(await readWhole(to, disk))]).toEqual([1]);
    expect(await disk.stat(from)).toBeNull();
    await disk.renameToNew(to, from);
    expect(await disk.stat(to)).toBeNull();
    expect([...(await readWhole(from, disk))]).toEqual([1]);
  });

  it("keeps a file's identity through a rename, and gives no two files one", async () => {
    const [a, b] = [await write("a", bytes(1)), await write("b", bytes(1))];
    const before = (await disk.stat(a))!.identity;
    expect((await disk.stat(b))!.identity).not.toBe(before);
    await disk.rename(a, join(home, "c"));
    expect((await disk.stat(join(home, "c")))!.identity).toBe(before);
  });

  it("lists names in order with their kinds", async () => {
    await write("b", bytes(1));
    await disk.makeFolder(join(home, "a", "deep"));
    expect(await disk.list(home)).toEqual([
      { name: "a", kind: "folder" },
      { name: "b", kind: "file" },
    ]);
    expect(await code(disk.list(join(home, "none")))).toBe("ENOENT");
  });

  it("sets the time of change to within a millisecond", async () => {
    const path = await write("a", bytes(1));
    await disk.setModified(path, 1_780_000_000_123.25);
    expect(Math.abs((await disk.stat(path))!.modifiedMs - 1_780_000_000_123.25)).toBeLessThan(1);
  });

  it("removes a file, and is content when there is none", async () => {
    const path = await write("a", bytes(1));
    await disk.removeFile(path);
    await disk.removeFile(path);
    expect(await disk.stat(path)).toBeNull();
  });

  it("makes a folder twice, syncs it, and refuses one below a file", async () => {
    await disk.makeFolder(join(home, "x", "y"));
    await disk.makeFolder(join(home, "x", "y"));
    await disk.syncFolder(join(home, "x"));
    await write("a", bytes(1));
    expect(["ENOTDIR", "EEXIST"]).toContain(await code(disk.makeFolder(join(home, "a", "b"))));
  });
});

describe("the real disk alone (the memory disk has no links)", () => {
  it.runIf(process.platform === "linux")(
    "is refused, not kept waiting, where the system itself makes the folders",
    async () => {
      await expect(realDisk.makeFolder("/proc/mill/wheel")).rejects.toMatchObject({ code: "ENOENT" });
    },
  );

  it("follows a link to a file, and calls a link to a folder 'other'", async () => {
    const home = join(real, "links");
    await realDisk.makeFolder(join(home, "folder"));
    const file = await realDisk.createForWriting(join(home, "file"));
    await file.close();
    await symlink(join(home, "file"), join(home, "to-file"));
    await symlink(join(home, "folder"), join(home, "to-folder"));
    await symlink(join(home, "none"), join(home, "to-nothing"));
    expect(Object.fromEntries((await realDisk.list(home)).map((one) => [one.name, one.kind]))).toEqual({
      file: "file",
      folder: "folder",
      "to-file": "file",
      "to-folder": "other",
      "to-nothing": "other",
    });
  });
});
