import { existsSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, it, onTestFinished } from "vitest";
import { openScratchFiles, readScratch } from "./scratch.ts";

it("gives back what was put aside, zeros after it, and is gone when it is closed", async () => {
  const base = mkdtempSync(join(tmpdir(), "gemel-scratch-"));
  onTestFinished(() => rmSync(base, { recursive: true, force: true }));
  const folder = join(base, "work");
  const scratch = openScratchFiles(folder);
  expect(existsSync(folder)).toBe(false);
  const [first, second] = [await scratch.open(), await scratch.open()];
  // Shared memory too: what other threads have packed.
  const shared = new Uint8Array(new SharedArrayBuffer(300_000)).map((_, i) => i % 251);
  await Promise.all([first.append(shared), first.append(Uint8Array.of(1, 2, 3)), second.append(shared)]);
  const out = new Uint8Array(8).fill(9);
  await first.read(299_998, out);
  expect([...out]).toEqual([299_998 % 251, 299_999 % 251, 1, 2, 3, 0, 0, 0]);
  await second.read(1000, out);
  expect([...out]).toEqual(Array.from({ length: 8 }, (_, i) => (1000 + i) % 251));
  readScratch(second.key, 2000, out);
  expect([...out]).toEqual(Array.from({ length: 8 }, (_, i) => (2000 + i) % 251));
  expect(readdirSync(folder)).toHaveLength(2);
  await scratch.close();
  expect(readdirSync(folder)).toEqual([]);
});

it("says in words why there can be none", async () => {
  const base = mkdtempSync(join(tmpdir(), "gemel-scratch-"));
  onTestFinished(() => rmSync(base, { recursive: true, force: true }));
  const file = join(base, "file");
  writeFileSync(file, "");
  await expect(openScratchFiles(join(file, "work")).open()).rejects.toMatchObject({
    code: "DISK_WRITE_FAILED",
  });
});
