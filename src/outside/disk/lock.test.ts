import { spawn } from "node:child_process";
import { once } from "node:events";
import { mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, it } from "vitest";
import { lockFileName, lockForWriting } from "./lock.ts";
import { isAlive, ownMark } from "./process-mark.ts";

let home = "";
beforeEach(async () => {
  home = await mkdtemp(join(tmpdir(), "gemel-lock-"));
});
afterEach(() => rm(home, { recursive: true, force: true }));

const holder = (over: object): string =>
  JSON.stringify({ ...ownMark, since: "2026-06-01T10:00:00.000Z", token: "other", ...over });

it("a folder that is locked is busy until it is released, and says who and since when", async () => {
  const lock = await lockForWriting(home);
  await expect(lockForWriting(home)).rejects.toMatchObject({
    code: "DOCUMENT_BUSY",
    facts: { pid: process.pid, since: expect.stringMatching(/^\d{4}-/) },
    message: expect.stringContaining(String(process.pid)),
  });
  await lock.release();
  await lock.release();
  expect(await readdir(home)).toEqual([]);
  await (await lockForWriting(home)).release();
});

it("another living process is respected", async () => {
  const other = spawn(process.execPath, ["-e", "setInterval(()=>{},1000)"]);
  try {
    await once(other, "spawn");
    await writeFile(join(home, lockFileName), holder({ pid: other.pid, startedAt: "0" }));
    await expect(lockForWriting(home)).rejects.toMatchObject({
      code: "DOCUMENT_BUSY",
      facts: { pid: other.pid },
    });
    expect(JSON.parse(await readFile(join(home, lockFileName), "utf8"))).toMatchObject({ token: "other" });
  } finally {
    other.kill("SIGKILL");
    await once(other, "exit");
  }
  // the very process that was respected has now died
  await (await lockForWriting(home)).release();
});

it.each([
  ["a process that is gone", { pid: 999_999_999 }],
  ["an earlier process with our number", { startedAt: "1" }],
  ["an earlier try of ours that was never released", {}],
])("the lock of %s is taken over", async (_, over) => {
  await writeFile(join(home, lockFileName), holder(over));
  const lock = await lockForWriting(home);
  expect(JSON.parse(await readFile(join(home, lockFileName), "utf8"))).toMatchObject({ pid: process.pid });
  await lock.release();
  expect(await readdir(home)).toEqual([]);
});

it("a damaged lock is taken over", async () => {
  await writeFile(join(home, lockFileName), "{ cut");
  await (await lockForWriting(home)).release();
});

it("a lock of another machine is never taken over, and says how to end it", async () => {
  await writeFile(join(home, lockFileName), holder({ host: "mill-house", pid: 999_999_999 }));
  await expect(lockForWriting(home)).rejects.toMatchObject({
    code: "DOCUMENT_BUSY",
    message: expect.stringContaining("mill-house"),
  });
});

it("of many that want a dead lock at once just one gets it", async () => {
  await writeFile(join(home, lockFileName), holder({ pid: 999_999_999 }));
  const tries = await Promise.allSettled(Array.from({ length: 12 }, () => lockForWriting(home)));
  const won = tries.filter((one) => one.status === "fulfilled");
  expect(won).toHaveLength(1);
  await won[0]!.value.release();
  expect(await readdir(home)).toEqual([]);
});

it("a folder that is not there cannot be locked", async () => {
  await expect(lockForWriting(join(home, "none"))).rejects.toMatchObject({ code: "DISK_WRITE_FAILED" });
});

it("this process lives, one of another machine counts as living", () => {
  expect(isAlive(ownMark)).toBe(true);
  expect(isAlive({ pid: 999_999_999, startedAt: "1", host: "mill-house" })).toBe(true);
  expect(isAlive({ ...ownMark, pid: 999_999_999 })).toBe(false);
});
