import { mkdir, mkdtemp, readdir, readFile, rm, utimes, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { pruneRemembered, rememberedAnswer, rememberedFile } from "./remembered.ts";

let sitting: string;
const kept = () => join(sitting, "measured", "remembered");
beforeEach(async () => {
  sitting = await mkdtemp(join(tmpdir(), "gemel-remembered-"));
});
afterEach(() => rm(sitting, { recursive: true }));

describe("what is remembered", () => {
  it("is made once for the same inputs, wherever the recording lies", async () => {
    const make = vi.fn(async () => ({ heard: [1, 2] }));
    const inputs = (path: string) => ({ recordings: [{ hash: "xxh128:1", path }] });
    const first = await rememberedAnswer(sitting, "listening", inputs("one/A.mov"), make);
    expect(await rememberedAnswer(sitting, "listening", inputs("two/A.mov"), make)).toEqual(first);
    await rememberedAnswer(sitting, "listening", { recordings: [] }, make);
    expect(make).toHaveBeenCalledTimes(2);
  });

  it("is made again where the kept answer is cut short", async () => {
    await rememberedAnswer(sitting, "listening", 1, async () => "whole");
    const [name] = await readdir(kept());
    await writeFile(join(kept(), name!), '"who');
    expect(await rememberedAnswer(sitting, "listening", 1, async () => "anew")).toBe("anew");
  });

  it("gives a file again without making it, and an empty one is none", async () => {
    const make = vi.fn((path: string) => writeFile(path, "picture"));
    const to = (name: string) => join(sitting, name);
    await rememberedFile(sitting, "still.jpg", ["xxh128:1", 3], to("a.jpg"), make);
    await rememberedFile(sitting, "still.jpg", ["xxh128:1", 3], to("b.jpg"), make);
    expect(make).toHaveBeenCalledTimes(1);
    expect(await readFile(to("b.jpg"), "utf8")).toBe("picture");
    for (const name of await readdir(kept())) await writeFile(join(kept(), name), "");
    await rememberedFile(sitting, "still.jpg", ["xxh128:1", 3], to("c.jpg"), make);
    expect(await readFile(to("c.jpg"), "utf8")).toBe("picture");
  });

  it("keeps what was used last", async () => {
    await mkdir(kept(), { recursive: true });
    for (let i = 0; i < 5; i++) {
      await writeFile(join(kept(), `${i}.jpg`), "x");
      await utimes(join(kept(), `${i}.jpg`), 1000 + i, 1000 + i);
    }
    await pruneRemembered(sitting, 2);
    expect((await readdir(kept())).sort()).toEqual(["3.jpg", "4.jpg"]);
  });
});
