import { mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { memoryDisk } from "./memory-disk.ts";
import { isDeadPart, newPartPath } from "./part-name.ts";
import { sweepParts } from "./sweep.ts";
import { reserveWhole, streamWhole, writeWhole } from "./write-whole.ts";

describe.each([
  ["ENOSPC", "DISK_FULL"],
  ["EDQUOT", "DISK_FULL"],
  ["EROFS", "DISK_WRITE_FAILED"],
  ["EACCES", "DISK_WRITE_FAILED"],
  ["EIO", "DISK_WRITE_FAILED"],
] as const)("a %s", (systemCode, code) => {
  it.each(["write", "rename", "fsync"] as const)(
    "on %s leaves the old file and nothing beside it",
    async (failOn) => {
      const disk = memoryDisk({ "/s/a.json": "old" });
      disk.setFault({ failOn, with: systemCode, to: 1 });
      await expect(writeWhole("/s/a.json", "new", disk)).rejects.toMatchObject({
        code,
        facts: { systemCode },
      });
      expect(disk.files()).toEqual({ "/s/a.json": [...new TextEncoder().encode("old")] });
    },
  );
});

describe("writeWhole on the memory disk", () => {
  it("says that the folder is missing", async () => {
    const work = writeWhole("/none/a.json", "x", memoryDisk());
    await expect(work).rejects.toMatchObject({ code: "DISK_WRITE_FAILED", facts: { systemCode: "ENOENT" } });
  });

  it("takes the bytes to the drive before the name, and the name after", async () => {
    const disk = memoryDisk({ "/s/x": "" });
    await writeWhole("/s/a", "new", disk);
    expect(disk.log.map(({ did }) => did)).toEqual(["create", "write", "fsync", "rename"]);
  });

  it("is not to be seen until it is finished, and is gone when abandoned", async () => {
    const disk = memoryDisk({ "/s/a": "old" });
    const file = await streamWhole("/s/a", disk);
    await file.write(new Uint8Array([1]));
    expect(disk.files()["/s/a"]).toEqual([...new TextEncoder().encode("old")]);
    await file.abandon();
    expect(Object.keys(disk.files())).toEqual(["/s/a"]);
  });
});

describe("on the real disk", () => {
  let home = "";
  beforeEach(async () => {
    home = await mkdtemp(join(tmpdir(), "gemel-whole-"));
  });
  afterEach(() => rm(home, { recursive: true, force: true }));

  it("replaces a file and leaves only it", async () => {
    await writeFile(join(home, "a"), "old");
    await writeWhole(join(home, "a"), "new");
    expect(await readFile(join(home, "a"), "utf8")).toBe("new");
    expect(await readdir(home)).toEqual(["a"]);
  });

  it("writes under the longest name a drive takes", async () => {
    const name = `${"m".repeat(250)}.mov`;
    await writeWhole(join(home, name), "x");
    expect(await readdir(home)).toEqual([name]);
  });

  it("a writer that wants a path gets one, and the file appears when it is finished", async () => {
    const whole = reserveWhole(join(home, "cut.mp4"));
    await writeFile(whole.partPath, "frames");
    expect(await sweepParts(home)).toEqual([]);
    await whole.finish();
    expect(await readdir(home)).toEqual(["cut.mp4"]);
    const other = reserveWhole(join(home, "other.mp4"));
    await expect(other.finish()).rejects.toMatchObject({ code: "DISK_WRITE_FAILED" });
  });

  it("sweeps what dead processes of ours left, at any depth, and nothing else", async () => {
    const own = newPartPath(join(home, "being-written.mov"));
    const [mark] = /[0-9a-f]{8}-\d+-\d+-[0-9a-f]{12}/.exec(own)!;
    const [host, pid, start] = mark.split("-") as [string, string, string];
    const rest = "aaaaaaaaaaaa";
    const dead = [
      `.a.mov.${host}-999999999-1-${rest}.part`,
      `.b.${host}-${pid}-${Number(start) + 1}-${rest}.part`,
    ];
    const kept = [
      `.c.00000000-999999999-1-${rest}.part`, // another machine's
      "d.mov.part", // another program's
      ".e.part",
      `f.${host}-999999999-1-${rest}.part`, // not hidden
      "g.mov",
    ];
    await Promise.all([...dead, ...kept].map((name) => writeFile(join(home, name), "x")));
    await writeFile(own, "x");
    expect(isDeadPart(own)).toBe(false);
    expect((await sweepParts(home)).sort()).toEqual(dead.map((name) => join(home, name)).sort());
    expect((await readdir(home)).sort()).toEqual([...kept, own.slice(home.length + 1)].sort());
    expect(await sweepParts(join(home, "none"))).toEqual([]);
  });
});
