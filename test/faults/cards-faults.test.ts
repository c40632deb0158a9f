import { describe, expect, it } from "vitest";
import { type CardsWish, copyCards } from "#jobs/copy-cards";
import { type MemoryDisk, memoryDisk } from "#outside/disk/memory-disk";

const card = { "/card/CLIPS/A001.mov": [1, 2, 3], "/card/CLIPS/A002.mov": [4, 5, 6], "/card/A003.wav": [7] };
const wish = (...places: string[]): CardsWish => ({
  cards: [{ device: "A", paths: ["/card"] }],
  places: places.map((name) => ({ name, folder: `/${name}` })),
  record: "/sitting/cards.json",
  displayPath: (path) => path,
});
const start = (): MemoryDisk =>
  memoryDisk({ ...card, "/sitting/keep": [], "/one/keep": [], "/two/keep": [] });
const run = (disk: MemoryDisk, ...places: string[]) =>
  copyCards(wish(...places), () => {}, new AbortController().signal, disk);
const copies = (disk: MemoryDisk, place: string): Record<string, number[]> =>
  Object.fromEntries(
    Object.entries(disk.files())
      .filter(([path]) => path.startsWith(`/${place}/A/`) && !path.includes("ascmhl"))
      .map(([path, bytes]) => [path.slice(place.length + 4), bytes]),
  );
const whole = { "A003.wav": [7], "CLIPS/A001.mov": [1, 2, 3], "CLIPS/A002.mov": [4, 5, 6] };
const parts = (disk: MemoryDisk): string[] => disk.paths().filter((path) => /\.part$/.test(path));

/** The card as it was, and under every name a whole file or none. */
function expectNothingHalf(disk: MemoryDisk): void {
  expect(disk.files()).toMatchObject(card);
  for (const place of ["one", "two"]) {
    for (const [name, bytes] of Object.entries(copies(disk, place))) {
      if (!name.endsWith(".part")) expect(bytes).toEqual(whole[name as keyof typeof whole]);
    }
  }
}

describe("one of two drives fails", () => {
  it.each([
    ["ENOSPC", "full"],
    ["ENODEV", "gone"],
    ["EROFS", "read"],
  ])(
    "with %s after the first file: it is given up, the other gets everything, and the same command resumes",
    async (systemCode, says) => {
      const disk = start();
      disk.setFault({ failOn: "write", with: systemCode, from: 4, under: "/two" });
      const done = await run(disk, "one", "two");
      expect(done.copies).toMatchObject([
        { place: "one", verified: 3, failed: 0 },
        { place: "two", verified: 1, failed: 2 },
      ]);
      expect(done.findings.filter(({ weight }) => weight === "stop")).toMatchObject([
        {
          code: "cards.place-given-up",
          says: expect.stringMatching(new RegExp(`${says}.*1 of 3 files is copied and verified in two`)),
        },
      ]);
      expect(done.findings[0]!.remedy).toContain("same command");
      expect(done.verdict).toBe("The copy in two lacks 2 of 3 files; do not erase the cards yet.");
      expect(parts(disk)).toEqual([]);
      expectNothingHalf(disk);

      disk.setFault(null);
      disk.log.length = 0;
      const again = await run(disk, "one", "two");
      expect(again.verdict).toBe("Both copies are verified; the cards may be erased.");
      expect(copies(disk, "two")).toEqual(whole);
      expect(disk.log.filter(({ did, path }) => did === "read" && path.startsWith("/card"))).toHaveLength(2);
    },
  );
});

describe("the only drive fails", () => {
  it("says what is safe there and that the same command goes on", async () => {
    const disk = start();
    disk.setFault({ failOn: "write", with: "ENOSPC", from: 4, under: "/one" });
    await expect(run(disk, "one")).rejects.toMatchObject({
      code: "COPY_INTERRUPTED",
      facts: { verified: 1, total: 3, systemCode: "ENOSPC" },
      advice: {
        means: expect.stringContaining("1 of 3 files in one"),
        doNext: expect.stringContaining("same command"),
      },
    });
    expect(parts(disk)).toEqual([]);
    expectNothingHalf(disk);
    disk.setFault(null);
    expect((await run(disk, "one")).copies).toMatchObject([
      { verified: 3, failed: 0, manifest: expect.stringContaining("0001_A_") },
    ]);
    expect(copies(disk, "one")).toEqual(whole);
  });
});

describe("the card fails", () => {
  it("one unreadable file is told; the others are copied, and the card is not to be erased", async () => {
    const disk = start();
    disk.setFault({ failOn: "read", with: "EIO", under: "/card/CLIPS/A001" });
    const done = await run(disk, "one", "two");
    expect(done.copies).toMatchObject([
      { verified: 2, failed: 1 },
      { verified: 2, failed: 1 },
    ]);
    expect(done.findings[0]).toMatchObject({ code: "cards.file-unreadable", weight: "stop" });
    expect(done.verdict).toContain("do not erase");
    expectNothingHalf(disk);
  });

  it("a card that is pulled is told as such", async () => {
    const disk = start();
    disk.setFault({ failOn: "read", with: "EIO", from: 4, under: "/card" });
    const pulled: MemoryDisk = {
      ...disk,
      stat: async (path) =>
        path === "/card" && copies(disk, "one")["A003.wav"] ? null : await disk.stat(path),
    };
    await expect(run(pulled, "one")).rejects.toMatchObject({
      code: "COPY_INTERRUPTED",
      advice: {
        happened: "The card at /card is no longer there.",
        means: expect.stringContaining("1 of 3 files in one"),
      },
    });
    expectNothingHalf(disk);
  });
});

// A kill is simulated at every operation in turn: from there on nothing succeeds, not even tidying up.
describe("killed at any moment", () => {
  it("leaves nothing half under a name, and the same command makes all good and leaves no stray files", async () => {
    const undisturbed = start();
    await run(undisturbed, "one", "two");
    const wanted = undisturbed.paths().map((path) => path.replace(/\d{4}-\d\d-\d\d_\d{6}Z/, "TIME"));
    let operations = 0;
    for (let from = 1; ; from++) {
      const disk = start();
      disk.setFault({ failOn: "any", with: "EIO", from });
      const ended = await run(disk, "one", "two").then(
        () => "done",
        () => "stopped",
      );
      disk.setFault(null);
      expectNothingHalf(disk);
      const again = await run(disk, "one", "two");
      expect(again.copies).toMatchObject([
        { verified: 3, failed: 0 },
        { verified: 3, failed: 0 },
      ]);
      expect(copies(disk, "one")).toEqual(whole);
      expect(copies(disk, "two")).toEqual(whole);
      const left = disk.paths().map((path) => path.replace(/\d{4}-\d\d-\d\d_\d{6}Z/, "TIME"));
      expect(left, `killed at operation ${from}`).toEqual(wanted);
      operations = from;
      if (ended === "done" && again.fromBefore) break;
    }
    // the sweep has gone through every step of copying three files to two places, the histories and the record
    expect(operations).toBeGreaterThan(60);
  });
});
