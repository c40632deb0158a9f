import { afterEach, describe, expect, it, vi } from "vitest";
import { cardsResultSchema } from "#documents/chapter-results";
import { readManifest } from "#formats/mhl/read-manifest";
import { hashBytes } from "#outside/disk/hash";
import { type MemoryDisk, memoryDisk } from "#outside/disk/memory-disk";
import { readHistory } from "#outside/disk/mhl-history";
import { type CardsWish, copyCards } from "./copy-cards.ts";

const cardA = {
  "/cardA/CLIPS/A001.mov": [1, 2, 3],
  "/cardA/CLIPS/A002.mov": [4, 5],
  "/cardA/.DS_Store": [0],
};
const cardB = { "/cardB/B001.mp4": [7] };
const wish: CardsWish = {
  cards: [
    { device: "A", paths: ["/cardA"] },
    { device: "B", paths: ["/cardB"] },
  ],
  places: [
    { name: "originals", folder: "/sitting/originals" },
    { name: "Shuttle", folder: "/shuttle" },
  ],
  record: "/sitting/measured/cards.json",
  displayPath: (path) => path.replace(/^\/sitting\//, ""),
};

function start(): MemoryDisk {
  return memoryDisk({
    ...cardA,
    ...cardB,
    "/sitting/measured/keep": [],
    "/sitting/originals/keep": [],
    "/shuttle/keep": [],
  });
}
function run(disk: MemoryDisk, over: Partial<CardsWish> = {}, signal = new AbortController().signal) {
  return copyCards({ ...wish, ...over }, () => {}, signal, disk);
}
const readsOf = (disk: MemoryDisk, under: string): string[] =>
  disk.log.filter(({ did, path }) => did === "read" && path.startsWith(under)).map(({ path }) => path);
const named = (disk: MemoryDisk): string[] =>
  Object.keys(disk.files()).filter((path) => !/keep$|ascmhl|cards\.json$/.test(path));

afterEach(() => {
  vi.useRealTimers();
});

describe("copyCards", () => {
  it("copies two cards to two places and says that they may be erased", async () => {
    const disk = start();
    const done = await run(disk);
    expect(cardsResultSchema.parse(done).copies).toMatchObject([
      {
        place: "originals",
        verified: 3,
        failed: 0,
        manifest: expect.stringMatching(/^originals\/A\/ascmhl\/0001_A_.*Z\.mhl$/),
      },
      { place: "Shuttle", verified: 3, failed: 0 },
    ]);
    expect(done.files).toEqual([
      {
        path: "originals/A/CLIPS/A001.mov",
        bytes: 3,
        hash: `xxh128:${await hashBytes("xxh128", Uint8Array.of(1, 2, 3))}`,
        device: "A",
        source: "/cardA/CLIPS/A001.mov",
      },
      {
        path: "originals/A/CLIPS/A002.mov",
        bytes: 2,
        hash: expect.stringMatching(/^xxh128:[0-9a-f]{32}$/),
        device: "A",
        source: "/cardA/CLIPS/A002.mov",
      },
      {
        path: "originals/B/B001.mp4",
        bytes: 1,
        hash: expect.any(String),
        device: "B",
        source: "/cardB/B001.mp4",
      },
    ]);
    expect(done.verdict).toBe("Both copies are verified; the cards may be erased.");
    expect(done.findings).toEqual([]);
    expect(done.fromBefore).toBe(false);
    expect(disk.files()["/shuttle/A/CLIPS/A001.mov"]).toEqual([1, 2, 3]);
    expect(named(disk).filter((path) => path.includes(".DS_Store"))).toEqual(["/cardA/.DS_Store"]);
  });

  it("keeps a true ASC MHL history in each place: files, folders and root of the first generation", async () => {
    const disk = start();
    await run(disk);
    const { manifests } = await readHistory(disk, "/shuttle/A");
    expect(manifests).toHaveLength(1);
    const [manifest] = manifests;
    expect(manifest).toMatchObject({
      process: "transfer",
      ignore: [".DS_Store", "ascmhl", "ascmhl/"],
      creator: { tool: { name: "gemel" } },
    });
    expect(manifest!.files.map(({ path, bytes }) => [path, bytes])).toEqual([
      ["CLIPS/A001.mov", 3],
      ["CLIPS/A002.mov", 2],
    ]);
    expect(manifest!.files[0]!.hashes[0]).toMatchObject({
      format: "xxh128",
      action: "original",
      text: await hashBytes("xxh128", Uint8Array.of(1, 2, 3)),
    });
    expect(manifest!.folders.map(({ path }) => path)).toEqual(["CLIPS"]);
    expect(manifest!.root?.content[0]?.text).toMatch(/^[0-9a-f]{32}$/);
  });

  it("the same command again reads nothing and changes nothing", async () => {
    const disk = start();
    await run(disk);
    const before = disk.files();
    disk.log.length = 0;
    const again = await run(disk);
    expect(again).toMatchObject({
      fromBefore: true,
      copies: [
        { verified: 3, failed: 0 },
        { verified: 3, failed: 0 },
      ],
    });
    expect(readsOf(disk, "/card")).toEqual([]);
    expect(disk.log.filter(({ did, path }) => did === "read" && !/ascmhl|cards\.json/.test(path))).toEqual(
      [],
    );
    expect(disk.files()).toEqual(before);
  });

  it("without a record the copies are read and found good, and the history is verified in a second generation", async () => {
    const disk = start();
    await run(disk);
    await disk.removeFile(wish.record);
    vi.useFakeTimers({ toFake: ["Date"], now: Date.now() + 3_600_000 });
    const again = await run(disk);
    expect(again.copies).toMatchObject([
      { verified: 3, failed: 0 },
      { verified: 3, failed: 0 },
    ]);
    const { manifests } = await readHistory(disk, "/shuttle/A");
    expect(manifests.map((one) => one.files[0]!.hashes[0]!.action)).toEqual(["original", "verified"]);
  });

  it("files that are added to a card are copied alone; the new generation makes no claim for folders it did not read", async () => {
    const disk = start();
    await run(disk);
    disk.put("/cardA/CLIPS/A003.mov", [9]);
    disk.log.length = 0;
    const again = await run(disk);
    expect(readsOf(disk, "/card")).toEqual(["/cardA/CLIPS/A003.mov"]);
    expect(again.copies[0]).toMatchObject({
      verified: 4,
      failed: 0,
      manifest: expect.stringContaining("0002_A_"),
    });
    const second = (await readHistory(disk, "/sitting/originals/A")).manifests[1]!;
    expect(second.files.map(({ path }) => path)).toEqual(["CLIPS/A003.mov"]);
    expect(second.folders).toEqual([]);
    expect(second.root).toBeUndefined();
  });

  it("a copy that vanished is made again and told", async () => {
    const disk = start();
    await run(disk);
    await disk.removeFile("/shuttle/A/CLIPS/A001.mov");
    const again = await run(disk);
    expect(disk.files()["/shuttle/A/CLIPS/A001.mov"]).toEqual([1, 2, 3]);
    expect(again.findings).toMatchObject([{ code: "cards.copy-vanished", weight: "note" }]);
    expect(again.copies[1]).toMatchObject({ verified: 3, failed: 0 });
  });

  it.each([
    ["size", [1, 2, 3, 4]],
    ["bytes alone", [1, 2, 9]],
  ])("a copy that was changed in %s is set aside, made again and told", async (_, changed) => {
    const disk = start();
    await run(disk);
    disk.put("/shuttle/A/CLIPS/A001.mov", changed);
    const again = await run(disk);
    expect(disk.files()["/shuttle/A/CLIPS/A001.mov"]).toEqual([1, 2, 3]);
    expect(disk.files()["/shuttle/A/CLIPS/A001.mov.changed"]).toEqual(changed);
    expect(again.findings).toMatchObject([{ code: "cards.copy-changed", weight: "warn" }]);
  });

  it("a copy whose time alone changed is read and stays", async () => {
    const disk = start();
    await run(disk);
    disk.put("/shuttle/A/CLIPS/A001.mov", [1, 2, 3]);
    const again = await run(disk);
    expect(again.findings).toEqual([]);
    expect(named(disk).filter((path) => path.includes("changed"))).toEqual([]);
    expect((await run(disk)).fromBefore).toBe(true);
  });

  it("a card that was erased after copying takes nothing away", async () => {
    const disk = start();
    const first = await run(disk);
    for (const path of Object.keys(cardA)) await disk.removeFile(path);
    const again = await run(disk);
    expect([...again.files].sort((a, b) => (a.path < b.path ? -1 : 1))).toEqual(first.files);
    expect(again.copies).toMatchObject([
      { verified: 3, failed: 0 },
      { verified: 3, failed: 0 },
    ]);
    disk.put("/cardA/CLIPS/A001.mov", [8, 8]);
    const reused = await run(disk);
    expect(reused.copies[0]).toMatchObject({ verified: 2, failed: 1 });
    expect(reused.findings[0]).toMatchObject({ code: "cards.different-file-there", weight: "stop" });
    expect(disk.files()["/shuttle/A/CLIPS/A001.mov"]).toEqual([1, 2, 3]);
  });

  it("a card that is not connected is no loss while a copy is there: a new place is served from that", async () => {
    const disk = memoryDisk({ "/x/A001.mov": [1], "/p/keep": [], "/q/keep": [], "/r/keep": [] });
    const cards = [{ device: "A", paths: ["/x/A001.mov"] }];
    const places = [
      { name: "P", folder: "/p" },
      { name: "Q", folder: "/q" },
    ];
    const of = (count: number) =>
      run(disk, { cards, places: places.slice(0, count), record: "/r/cards.json" });
    await of(1);
    await disk.removeFile("/x/A001.mov");
    expect((await of(1)).files).toMatchObject([{ path: "/p/A/A001.mov", source: "/x/A001.mov" }]);
    expect(await of(2)).toMatchObject({
      copies: [
        { verified: 1, failed: 0 },
        { verified: 1, failed: 0 },
      ],
      findings: [],
    });
    expect(disk.files()["/q/A/A001.mov"]).toEqual([1]);
    await disk.removeFile("/p/A/A001.mov");
    expect((await of(2)).files).toMatchObject([{ path: "/p/A/A001.mov" }]);
    await disk.removeFile("/p/A/A001.mov");
    await disk.removeFile("/q/A/A001.mov");
    await expect(of(2)).rejects.toMatchObject({ code: "FILE_MISSING" });
  });

  it("with no place the files are named by their content where they lie, once", async () => {
    const disk = start();
    const done = await run(disk, { places: [] });
    expect(done).toMatchObject({ copies: [], findings: [] });
    expect(done.files.map(({ path }) => path)).toEqual([
      "/cardA/CLIPS/A001.mov",
      "/cardA/CLIPS/A002.mov",
      "/cardB/B001.mp4",
    ]);
    disk.log.length = 0;
    expect((await run(disk, { places: [] })).fromBefore).toBe(true);
    expect(readsOf(disk, "/card")).toEqual([]);
  });

  it("says where it stands, and never goes back", async () => {
    const told: [number, string][] = [];
    await copyCards(wish, (done, doing) => told.push([done, doing]), new AbortController().signal, start());
    expect(told.map(([done]) => done)).toEqual(told.map(([done]) => done).toSorted((a, b) => a - b));
    expect(told.at(-1)![0]).toBe(1);
    expect(told[0]![1]).toBe("copying A001.mov, 1 of 3");
  });

  it.each<[string, Partial<CardsWish>, string]>([
    ["a card that is not there", { cards: [{ device: "A", paths: ["/none"] }] }, "FILE_MISSING"],
    ["an empty card", { cards: [{ device: "A", paths: ["/empty"] }] }, "FOLDER_EMPTY"],
    ["a card that holds junk alone", { cards: [{ device: "A", paths: ["/junk"] }] }, "FOLDER_EMPTY"],
    ["a place on the card", { places: [{ name: "P", folder: "/cardA/copies" }] }, "COPY_PLACE_INSIDE_SOURCE"],
    ["the card as a place", { places: [{ name: "P", folder: "/cardA" }] }, "COPY_PLACE_INSIDE_SOURCE"],
    [
      "a place whose copies would be the card",
      { cards: [{ device: "A", paths: ["/x/A"] }], places: [{ name: "P", folder: "/x" }] },
      "COPY_PLACE_INSIDE_SOURCE",
    ],
    [
      "one place twice",
      { places: [wish.places[0]!, { name: "again", folder: "/sitting/originals" }] },
      "USAGE",
    ],
  ])("refuses %s before anything is read", async (_, over, code) => {
    const disk = start();
    await disk.makeFolder("/empty/deep");
    disk.put("/junk/.DS_Store", [1]);
    disk.put("/x/A/a.mov", [1]);
    const before = disk.files();
    await expect(run(disk, over)).rejects.toMatchObject({ code });
    expect(disk.files()).toEqual(before);
  });

  it("an altered history is not added to, and told", async () => {
    const disk = start();
    await run(disk);
    const path = Object.keys(disk.files()).find((one) => /^\/shuttle\/A\/ascmhl\/0001/.test(one))!;
    const text = new TextDecoder().decode(Uint8Array.from(disk.files()[path]!));
    expect(readManifest(text).files).toHaveLength(2);
    disk.put(path, text.replace("A001", "A009"));
    disk.put("/cardA/CLIPS/A003.mov", [9]);
    const again = await run(disk);
    expect(again.copies[1]).toMatchObject({ verified: 4, failed: 0 });
    expect(again.findings).toMatchObject([{ code: "cards.history-changed", weight: "warn" }]);
    expect(Object.keys(disk.files()).filter((one) => /^\/shuttle\/A\/ascmhl\/0002/.test(one))).toEqual([]);
  });

  it("a card that reads differently than before is not believed", async () => {
    const disk = start();
    await run(disk, { places: [wish.places[0]!] });
    const { modifiedMs } = (await disk.stat("/cardB/B001.mp4"))!;
    disk.put("/cardB/B001.mp4", [6], modifiedMs);
    const again = await run(disk);
    expect(again.copies).toMatchObject([
      { verified: 3, failed: 0 },
      { verified: 2, failed: 1 },
    ]);
    expect(again.findings).toMatchObject([{ code: "cards.copy-differs", weight: "stop" }]);
    expect(disk.files()["/shuttle/B/B001.mp4"]).toBeUndefined();
  });
});
