import { fc, test } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import { blockBytes } from "./blocks.ts";
import { copyVerified } from "./copy-verified.ts";
import { hashBytes } from "./hash.ts";
import { memoryDisk } from "./memory-disk.ts";

const source = "/card/C0001.mp4";
const targets = ["/drive1/A/C0001.mp4", "/drive2/A/C0001.mp4"];
const bytes = [1, 2, 3, 4, 5];
const copy = (disk: ReturnType<typeof memoryDisk>, more: object = {}) =>
  copyVerified(disk, { source, targets, format: "xxh128", ...more });

describe("copyVerified", () => {
  it("reads the source once, writes both copies, reads each back under its part's name, then gives it its own", async () => {
    const disk = memoryDisk({ [source]: bytes });
    const done = await copy(disk);
    expect(done.hash).toBe(await hashBytes("xxh128", Uint8Array.from(bytes)));
    expect(disk.files()).toEqual({ [source]: bytes, [targets[0]!]: bytes, [targets[1]!]: bytes });
    expect(disk.log.filter((one) => one.did === "read" && one.path === source)).toHaveLength(1);
    for (const drive of ["/drive1", "/drive2"]) {
      const steps = disk.log.filter(({ path }) => path.startsWith(drive)).map(({ did }) => did);
      expect(steps).toEqual(["create", "write", "fsync", "read", "rename"]);
    }
  });

  it("keeps the time of the source, and leaves that as it was", async () => {
    const disk = memoryDisk();
    disk.put(source, bytes, 1_234_567);
    await copy(disk);
    expect((await disk.stat(targets[0]!))!.modifiedMs).toBe(1_234_567);
    expect((await disk.stat(source))!.modifiedMs).toBe(1_234_567);
    expect(disk.log.filter(({ did, path }) => did !== "read" && path.startsWith("/card"))).toEqual([]);
  });

  it("one flipped bit on the way to one drive is found; that copy is kept as .bad and the other is good", async () => {
    const disk = memoryDisk({ [source]: bytes });
    disk.damageWrites((path, was) =>
      path.startsWith("/drive1") ? was.map((b, i) => (i === 3 ? b ^ 16 : b)) : was,
    );
    const done = await copy(disk);
    expect(done.outcomes).toMatchObject([
      { state: "failed", error: { code: "COPY_CHECKSUM_MISMATCH", facts: { bad: `${targets[0]}.bad` } } },
      { state: "verified" },
    ]);
    expect(disk.files()).toEqual({
      [source]: bytes,
      [`${targets[0]}.bad`]: [1, 2, 3, 20, 5],
      [targets[1]!]: bytes,
    });
    disk.damageWrites(null);
    expect((await copy(disk)).outcomes.map((one) => one.state)).toEqual(["verified", "verified"]);
  });

  it("a copy that fails twice keeps both bad ones", async () => {
    const disk = memoryDisk({ [source]: bytes });
    disk.damageWrites((_, was) => was.subarray(1));
    await copy(disk);
    await copy(disk);
    expect(Object.keys(disk.files()).filter((path) => path.startsWith("/drive1"))).toEqual([
      `${targets[0]}.bad`,
      `${targets[0]}.bad.2`,
    ]);
  });

  it.each([
    ["of another size", [9]],
    ["of the same size", [1, 2, 3, 4, 9]],
  ])("never replaces a different file %s", async (_, other) => {
    const disk = memoryDisk({ [source]: bytes, [targets[0]!]: other });
    const done = await copy(disk);
    expect(done.outcomes).toMatchObject([
      { error: { code: "COPY_DIFFERENT_FILE_THERE" } },
      { state: "verified" },
    ]);
    expect(disk.files()[targets[0]!]).toEqual(other);
  });

  it("the same file that is there already is read and counts as a copy, without being written", async () => {
    const disk = memoryDisk({ [source]: bytes, [targets[0]!]: bytes });
    const done = await copy(disk);
    expect(done.outcomes).toMatchObject([
      { state: "verified", wasCopied: false },
      { state: "verified", wasCopied: true },
    ]);
    expect(disk.log.filter(({ did, path }) => did === "create" && path.startsWith("/drive1"))).toEqual([]);
  });

  it("the source itself is no copy of it", async () => {
    const disk = memoryDisk({ [source]: bytes });
    const done = await copy(disk, { targets: [source] });
    expect(done.outcomes).toMatchObject([{ error: { code: "COPY_PLACE_INSIDE_SOURCE" } }]);
    expect(disk.files()).toEqual({ [source]: bytes });
  });

  it("without any target the source is only named by its content", async () => {
    const disk = memoryDisk({ [source]: bytes });
    expect(await copy(disk, { targets: [] })).toMatchObject({
      hash: await hashBytes("xxh128", Uint8Array.from(bytes)),
      bytes: 5,
    });
  });

  it("a source that is written meanwhile is not copied, and says so", async () => {
    const disk = memoryDisk({ [source]: new Uint8Array(2 * blockBytes) });
    let told = 0;
    const done = await copy(disk, {
      onBytes: () => {
        if (told++ === 0) disk.put(source, new Uint8Array(3 * blockBytes));
      },
    });
    expect(done).toMatchObject({
      hash: null,
      outcomes: [{ error: { code: "COPY_INTERRUPTED" } }, { error: { code: "COPY_INTERRUPTED" } }],
    });
    expect(disk.paths()).toEqual([source]);
  });

  it("called off in the middle it leaves nothing at the places", async () => {
    const call = new AbortController();
    const disk = memoryDisk({ [source]: new Uint8Array(3 * blockBytes) });
    await expect(copy(disk, { signal: call.signal, onBytes: () => call.abort() })).rejects.toMatchObject({
      code: "CANCELLED",
    });
    expect(disk.paths()).toEqual([source]);
  });

  it.each([
    ["a missing source", "/card/none.mp4", "FILE_MISSING"],
    ["a folder", "/card", "FILE_NOT_READABLE"],
  ])("%s is told", async (_, path, code) => {
    await expect(copy(memoryDisk({ [source]: bytes }), { source: path })).rejects.toMatchObject({ code });
  });

  it.each([
    ["EIO", "FILE_NOT_READABLE"],
    ["ENOENT", "FILE_MISSING"],
  ])("a card that fails with %s while it is read is told", async (systemCode, code) => {
    const disk = memoryDisk({ [source]: new Uint8Array(2 * blockBytes) });
    disk.setFault({ failOn: "read", with: systemCode, from: 3, under: "/card" });
    await expect(copy(disk)).rejects.toMatchObject({ code, facts: { systemCode } });
    expect(disk.paths()).toEqual([source]);
  });

  // Faults: every single operation that copying asks of one drive fails once, and from then on.
  describe.each(["ENOSPC", "EIO", "EROFS", "ENODEV"])("a drive that fails with %s", (systemCode) => {
    it.each(Array.from({ length: 12 }, (_, i) => i + 1))(
      "from its operation %i on leaves the card, the other copy, and no half file",
      async (from) => {
        const content = Uint8Array.of(4, 2, 9);
        const disk = memoryDisk({ [source]: content });
        disk.setFault({ failOn: "any", with: systemCode, from, under: "/drive1" });
        const done = await copy(disk);
        disk.setFault(null);
        const failed = done.outcomes[0]!;
        if (failed.state === "failed")
          expect(["DISK_FULL", "DISK_WRITE_FAILED", "FILE_NOT_READABLE"]).toContain(failed.error.code);
        expect(done.outcomes[1]).toMatchObject({ state: "verified" });
        const named = disk.paths().filter((path) => !path.endsWith(".part"));
        // the drive may be gone before the part could be removed; a name is only ever given to a whole file
        if (named.includes(targets[0]!)) expect(disk.files()[targets[0]!]).toHaveLength(content.length);
        expect(disk.files()[source]).toHaveLength(content.length);
        expect(done.hash).toBe(await hashBytes("xxh128", content));
      },
    );
  });

  test.prop([fc.uint8Array({ maxLength: 64 }), fc.nat(63), fc.nat(7)], { numRuns: 60 })(
    "whichever bit is flipped in whichever file, the copy fails",
    async (content, at, bit) => {
      fc.pre(at < content.length);
      const disk = memoryDisk({ [source]: content });
      disk.damageWrites((path, was) =>
        path.endsWith(".part") ? was.map((b, i) => (i === at ? b ^ (1 << bit) : b)) : was,
      );
      const done = await copy(disk, { targets: [targets[0]] });
      expect(done.outcomes).toMatchObject([{ state: "failed", error: { code: "COPY_CHECKSUM_MISMATCH" } }]);
    },
  );
});
