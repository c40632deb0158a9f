import { mkdir, mkdtemp, readdir, readFile, rm, stat, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import type { ChapterResults } from "#documents/chapter-results";
import {
  keepResult,
  openWork,
  pruneResults,
  readKept,
  relink,
  resultFolder,
  resultKey,
  sweepWork,
} from "./result-cache.ts";

let sitting: string;
beforeEach(async () => {
  sitting = await mkdtemp(join(tmpdir(), "gemel-cache-"));
});
afterEach(() => rm(sitting, { recursive: true, force: true }));

const result = { files: [], findings: [], firstCut: null } as ChapterResults["handover"];
const keep = async (
  key: string,
  files: Record<string, string>,
  handOn = resultFolder("handover", key),
): Promise<void> => {
  const work = await openWork(sitting);
  for (const [name, text] of Object.entries(files)) await writeFile(join(work, name), text);
  await keepResult(sitting, "handover", key, work, handOn, result);
};

describe("the key of a result", () => {
  const inputs = { recordings: [{ hash: "xxh128:1", path: "/card/A001.mov", device: "A" }], target: -18 };

  it("stays the same when a recording lies elsewhere and when fields are written in another order", () => {
    expect(
      resultKey("clock", 1, {
        target: -18,
        recordings: [{ device: "A", path: "/moved/A001.mov", hash: "xxh128:1" }],
      }),
    ).toBe(resultKey("clock", 1, inputs));
  });

  it.each([
    [
      "the content of a recording",
      "clock",
      1,
      { ...inputs, recordings: [{ ...inputs.recordings[0], hash: "xxh128:2" }] },
    ],
    ["a decision", "clock", 1, { ...inputs, target: -23 }],
    ["the chapter's version", "clock", 2, inputs],
    ["the chapter", "voice", 1, inputs],
  ] as const)("changes with %s", (_, chapter, version, changed) => {
    expect(resultKey(chapter, version, changed)).not.toBe(resultKey("clock", 1, inputs));
  });
});

describe("a kept result", () => {
  it("is found again whole, and leaves no work folder", async () => {
    await keep("k1", { "cut.edl": "TITLE: TIDE MILL" });
    expect(await readKept(sitting, "handover", "k1")).toEqual(result);
    expect(await readdir(join(sitting, "measured"))).toEqual(["handover"]);
  });

  it.each([
    ["a file of it was cut short", (file: string) => writeFile(file, "TITLE")],
    ["a file of it is gone", (file: string) => rm(file)],
  ])("counts as not there when %s", async (_, harm) => {
    await keep("k1", { "cut.edl": "TITLE: TIDE MILL" });
    await harm(join(sitting, "measured/handover/k1/cut.edl"));
    expect(await readKept(sitting, "handover", "k1")).toBeUndefined();
  });

  it("counts as not there when its document was cut short", async () => {
    await keep("k1", {});
    await writeFile(join(sitting, "measured/handover/k1/result.json"), '{"kind": "gemel.mea');
    expect(await readKept(sitting, "handover", "k1")).toBeUndefined();
  });

  it("hands its files on, takes away those of the result before, and touches nobody else's", async () => {
    await keep("k1", { "old.edl": "1", "cut.otio": "1" }, "handover");
    await writeFile(join(sitting, "handover/notes of my own.txt"), "keep");
    await keep("k2", { "cut.otio": "2" }, "handover");
    expect((await readdir(join(sitting, "handover"))).sort()).toEqual(["cut.otio", "notes of my own.txt"]);
    expect(await readFile(join(sitting, "handover/cut.otio"), "utf8")).toBe("2");
    expect(await readKept(sitting, "handover", "k1")).toBeUndefined();
    expect(await readKept(sitting, "handover", "k2")).toEqual(result);
  });

  it("gets today's path of each recording that it knows by hash", () => {
    const kept = {
      recordings: [
        { hash: "h1", path: "/old/A001.mov" },
        { hash: "h2", path: "/old/B001.mp4" },
      ],
      at: 3,
    };
    expect(relink(kept, (hash) => (hash === "h1" ? "/new/A001.mov" : undefined))).toEqual({
      recordings: [
        { hash: "h1", path: "/new/A001.mov" },
        { hash: "h2", path: "/old/B001.mp4" },
      ],
      at: 3,
    });
  });
});

it("a still that names its recording keeps its own path when the recording has moved", () => {
  const still = { name: "b-chart", path: "measured/colour/k1/b-chart.jpg", hash: "h1" };
  expect(relink(still, () => "/new/B001.mp4")).toEqual(still);
});

it("the sweep removes what killed runs left in measured/ and nothing else", async () => {
  await keep("k1", {});
  await mkdir(join(sitting, "measured/.work-1-abc/deep"), { recursive: true });
  await sweepWork(sitting);
  expect(await readdir(join(sitting, "measured"))).toEqual(["handover"]);
});

it("pruning keeps what is in use and the newest few", async () => {
  for (let i = 0; i < 10; i++) await keep(`k${i}`, {});
  await pruneResults(sitting, "handover", new Set(["k0"]));
  const left = await readdir(join(sitting, "measured/handover"));
  expect(left).toHaveLength(7);
  expect(left).toContain("k0");
  expect((await stat(join(sitting, "measured/handover/k0"))).isDirectory()).toBe(true);
});
