import { mkdtemp, readdir, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, it } from "vitest";
import { safeFileName, takeUpload } from "./upload-inbox.ts";

let folder: string;
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "gemel-inbox-"));
});
afterEach(() => rm(folder, { recursive: true }));

async function* blocks(...texts: string[]): AsyncGenerator<Uint8Array> {
  for (const text of texts) yield Buffer.from(text);
}

it("keeps nothing of a file of which fewer bytes came than were said", async () => {
  await expect(takeUpload(folder, "A001.mov", blocks("film"), 5)).rejects.toMatchObject({
    code: "UPLOAD_INTERRUPTED",
  });
  expect(await readdir(join(folder, "inbox"))).toEqual([]);
});

it("gives two files of one name that come at once a name each", async () => {
  const both = await Promise.all([
    takeUpload(folder, "A001.mov", blocks("one", "two"), 6),
    takeUpload(folder, "A001.mov", blocks("three"), null),
  ]);
  expect(both.map(({ bytes }) => bytes)).toEqual([6, 5]);
  expect((await readdir(join(folder, "inbox"))).sort()).toEqual(["A001-2.mov", "A001.mov"]);
});

it("shortens a name that drives do not allow, and keeps its ending", () => {
  const name = safeFileName(`${"tide mill ".repeat(40)}.mov`);
  expect(Buffer.byteLength(name)).toBeLessThanOrEqual(150);
  expect(name).toMatch(/^tide mill .*\.mov$/);
});
