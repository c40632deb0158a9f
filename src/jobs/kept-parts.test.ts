import { mkdtemp, readdir, rm, utimes, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { basename, join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import type { RenderClip } from "#documents/chapter";
import type { Recording } from "#documents/recording";
import { partsFor, pruneParts } from "./kept-parts.ts";

let sitting = "";
beforeEach(async () => {
  sitting = await mkdtemp(join(tmpdir(), "gemel-parts-"));
});
afterEach(() => rm(sitting, { recursive: true, force: true }));

const format = { width: 640, height: 360, frameRate: { num: 25, den: 1 } };
const clip = (
  hash: string,
  sourceStart: number,
  seconds: number,
  change: Partial<RenderClip> = {},
): RenderClip => ({
  recording: { hash, path: `${hash}.mov` } as Recording,
  sourceStart,
  sourceEnd: sourceStart + seconds,
  luts: [],
  scale: 1,
  ...change,
});

describe("the parts of a cut", () => {
  it("are the same for the same shot, wherever it stands in the cut, and others for whatever shows otherwise", async () => {
    const one = clip("a", 3.2, 4);
    const [first, second] = (await partsFor(sitting, [one, clip("b", 7.2, 2)], format))!;
    expect((await partsFor(sitting, [clip("b", 7.2, 2), one], format))!).toEqual([second, first]);
    const moved = { recording: { ...one.recording, path: "elsewhere/a.mov" } };
    expect((await partsFor(sitting, [{ ...one, ...moved }], format))![0]).toBe(first);
    const others = [
      clip("a", 3.24, 4),
      clip("a", 3.2, 4.04),
      clip("a", 3.2, 4, { luts: ["measured/colour/k/b.cube"] }),
      clip("a", 3.2, 4, { scale: 1.2 }),
    ];
    const names = (await partsFor(sitting, others, format))!;
    names.push((await partsFor(sitting, [one], { ...format, width: 1280 }))![0]!);
    expect(new Set([first, ...names]).size).toBe(6);
  });

  it("are none where a clip ends between two frames", async () => {
    expect(await partsFor(sitting, [clip("a", 0, 1), clip("a", 2, 1.02)], format)).toBeUndefined();
  });

  it("that an undo may need stay, as long as they take no more room than the cut; the longest unused go first", async () => {
    const wish = ["now", "before", "long ago"].map((hash) => clip(hash, 0, 1));
    const [now, before, longAgo] = (await partsFor(sitting, wish, format))!;
    const used = async (path: string, bytes: number, at: number) => {
      await writeFile(path, new Uint8Array(bytes));
      await utimes(path, at, at);
    };
    await used(now!, 1000, 30);
    await used(before!, 700, 20);
    await used(longAgo!, 700, 10);
    await writeFile(`${longAgo}.part`, "half");
    await pruneParts(sitting, [now!]);
    expect((await readdir(join(sitting, "measured", "parts"))).sort()).toEqual(
      [basename(now!), basename(before!)].sort(),
    );
  });
});
