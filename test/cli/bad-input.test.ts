import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { filesBelow, ownFolder, runGemel } from "../helpers/run-gemel.ts";

/** One clear sentence (what, what it means, what to do): no stack, no dump. */
const isOneClearAnswer = (err: string): void => {
  expect(err.trim().split("\n")).toHaveLength(1);
  expect(err).not.toMatch(/\bat .*:\d+:\d+|undefined|\[object|Error:/);
};

describe("gemel run, given what it can do nothing with, says so in one line, exits 2 and leaves nothing", () => {
  const cases: [string, (folder: string) => readonly string[], RegExp][] = [
    [
      "a text file named .mp4",
      (folder) => {
        writeFileSync(join(folder, "B001.mp4"), "The tide turns at a quarter past four.\n");
        return ["--a", "B001.mp4", "--b", "B001.mp4"];
      },
      /B001\.mp4/,
    ],
    [
      "an MP4 that was cut before its index",
      (folder) => {
        // ISO/IEC 14496-12: a file-type box, then the head of a media-data box, and no movie box.
        const box = (size: number, name: string, body: string): Buffer => {
          const head = Buffer.alloc(8);
          head.writeUInt32BE(size);
          head.write(name, 4, "latin1");
          return Buffer.concat([head, Buffer.from(body, "latin1")]);
        };
        const file = Buffer.concat([
          box(24, "ftyp", "isom\0\0\x02\0isomavc1"),
          box(50_000_000, "mdat", "x".repeat(200_000)),
        ]);
        writeFileSync(join(folder, "A001.mp4"), file);
        return ["--a", "A001.mp4", "--b", "A001.mp4"];
      },
      /A001\.mp4.*index/s,
    ],
    [
      "an empty folder",
      (folder) => {
        mkdirSync(join(folder, "card"));
        return ["--a", "card", "--b", "card"];
      },
      /card is empty/,
    ],
    ["a file that is not there", () => ["--a", "gone.mov", "--b", "gone.mov"], /gone\.mov/],
    [
      "an empty file",
      (folder) => {
        writeFileSync(join(folder, "A001.mov"), "");
        return ["--a", "A001.mov", "--b", "A001.mov"];
      },
      /A001\.mov/,
    ],
  ];

  it.each(cases)("%s", async (_, prepare, says) => {
    const folder = ownFolder();
    const args = prepare(folder);
    const before = await filesBelow(folder);
    const ran = await runGemel(["run", ...args, "--out", "sitting"], folder);
    expect(ran).toMatchObject({ code: 2, out: "" });
    expect(ran.err).toMatch(says);
    isOneClearAnswer(ran.err);
    expect(await filesBelow(folder)).toEqual(before);
  });
});

describe("a call that is not spelt as one", () => {
  it.each([
    [["wind"], "gemel has no command wind"],
    [["clok"], "did you mean clock?"],
    [["run"], "gemel run needs a sitting"],
    [["run", "--a", "A.mov"], "needs --out"],
    [["run", "--bakcup", "X"], "did you mean --backup?"],
    [["clock", "A.mov"], "at least two recordings"],
    [["clock", "A.mov", "B.mov", "--master"], "--master needs FILE"],
    [["voice", "A.mov", "--role", "A.mov=lav"], "FILE:CHANNEL=ROLE"],
    [["voice", "A.mov", "--loudness", "loud"], "-40 to -5"],
    [["story", "nowhere"], "holds no sitting.json"],
    [["start", "--port", "many"], "is not a port"],
    [["demo", "--minutes", "-1"], "is not a number above 0"],
  ])("%j exits 2 and says what to do", async (args, says) => {
    const ran = await runGemel(args, ownFolder());
    expect(ran).toMatchObject({ code: 2, out: "" });
    expect(ran.err).toContain(says);
    isOneClearAnswer(ran.err);
  });
});

describe("help", () => {
  it.each([
    "run",
    "start",
    "demo",
    "room",
    "cards",
    "clock",
    "watch",
    "voice",
    "colour",
    "story",
    "handover",
  ])("gemel %s --help reads as the golden file, with an example", async (command) => {
    const ran = await runGemel([command, "--help"], ownFolder());
    expect(ran.code).toBe(0);
    expect(ran.out).toContain(`Example:\n  gemel ${command}`);
    await expect(ran.out).toMatchFileSnapshot(`../golden/help/${command}.txt`);
  });

  it("gemel --help names every command", async () => {
    const ran = await runGemel(["--help"], ownFolder());
    await expect(ran.out).toMatchFileSnapshot("../golden/help/overview.txt");
  });
});
