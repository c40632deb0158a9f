import { spawn } from "node:child_process";
import { once } from "node:events";
import { existsSync } from "node:fs";
import {
  cp,
  mkdir,
  mkdtemp,
  readdir,
  readFile,
  rm,
  stat,
  symlink,
  utimes,
  writeFile,
} from "node:fs/promises";
import { tmpdir } from "node:os";
import { join, relative } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { build } from "vite";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { type CardsWish, copyCards } from "#jobs/copy-cards";
import { hashBytes, hashFile } from "#outside/disk/hash";
import { readHistory } from "#outside/disk/mhl-history";
import { realDisk } from "#outside/disk/real-disk";

/*
 * On the machine's own disk: what memory cannot show. A card of the published ASC MHL example (scenario 1) is copied, so
 * that the hashes of files, folders and root are known from outside: ascmhl's example tree, commit e73462c.
 */
const example = fileURLToPath(
  new URL("../published/mhl/example_tree/scenario_01/travel_01/A002R2EC/", import.meta.url),
);
let home = "";
let bundle = "";

beforeAll(async () => {
  // one plain script of the job, so that a process of its own can be killed
  bundle = await mkdtemp(join(tmpdir(), "gemel-kill-"));
  await build({
    configFile: false,
    logLevel: "error",
    resolve: { conditions: ["source"] },
    ssr: { resolve: { conditions: ["source"] }, noExternal: [] },
    build: {
      ssr: fileURLToPath(new URL("../../src/jobs/copy-cards.ts", import.meta.url)),
      outDir: bundle,
      rollupOptions: { output: { entryFileNames: "copy-cards.mjs" } },
    },
  });
});
afterAll(() => rm(bundle, { recursive: true, force: true }));
beforeEach(async () => {
  home = await mkdtemp(join(tmpdir(), "gemel-cards-"));
  await mkdir(join(home, "measured"));
});
afterEach(() => rm(home, { recursive: true, force: true }));

const wishOf = (card: string): CardsWish => ({
  cards: [{ device: "A002R2EC", paths: [card] }],
  places: ["one", "two"].map((name) => ({ name, folder: join(home, name) })),
  record: join(home, "measured", "cards.json"),
  displayPath: (path) => relative(home, path),
});
const run = (wish: CardsWish) => copyCards(wish, () => {}, new AbortController().signal);
async function tree(folder: string): Promise<Record<string, string>> {
  const found: Record<string, string> = {};
  for (const entry of await readdir(folder, { recursive: true, withFileTypes: true })) {
    if (!entry.isFile()) continue;
    const path = join(entry.parentPath, entry.name);
    const { mtimeMs } = await stat(path);
    found[relative(folder, path)] = `${mtimeMs} ${await hashFile(path, "c4")}`;
  }
  return found;
}

describe("copyCards on the real disk", () => {
  it("copies the published example card, leaves it untouched, and records the hashes that were published with it", async () => {
    const card = join(home, "card");
    await cp(example, card, { recursive: true });
    await rm(join(card, "ascmhl"), { recursive: true });
    const filmed = new Date("2020-01-15T13:00:00.500Z");
    await utimes(join(card, "Sidecar.txt"), filmed, filmed);
    const before = await tree(card);
    const done = await run(wishOf(card));
    expect(await tree(card)).toEqual(before);
    expect(done.copies).toMatchObject([
      { verified: 3, failed: 0 },
      { verified: 3, failed: 0 },
    ]);
    // ascmhl example, scenario 1: xxh64 of the three files
    for (const [name, xxh64] of [
      ["Clips/A002C006_141024_R2EC.mov", "0ea03b369a463d9d"],
      ["Clips/A002C007_141024_R2EC.mov", "7680e5f98f4a80fd"],
      ["Sidecar.txt", "3ab5a4166b9bde44"],
    ]) {
      for (const place of ["one", "two"])
        expect(await hashFile(join(home, place, "A002R2EC", name!), "xxh64")).toBe(xxh64);
    }
    expect(
      Math.abs((await stat(join(home, "one/A002R2EC/Sidecar.txt"))).mtimeMs - filmed.getTime()),
    ).toBeLessThan(1);
    const { manifests } = await readHistory(realDisk, join(home, "one", "A002R2EC"));
    expect(manifests[0]!.files.map(({ path }) => path)).toEqual([
      "Clips/A002C006_141024_R2EC.mov",
      "Clips/A002C007_141024_R2EC.mov",
      "Sidecar.txt",
    ]);
    expect(manifests[0]!.files[2]).toMatchObject({ bytes: 58, modifiedAt: "2020-01-15T13:00:00+00:00" });
    expect(done.findings.map(({ code }) => code)).toEqual([
      "cards.one-drive",
      "cards.on-card-drive",
      "cards.on-card-drive",
    ]);
    expect((await run(wishOf(card))).fromBefore).toBe(true);
  });

  it("a card that already carries a history is copied with it, beside the history of the copies", async () => {
    const done = await run(wishOf(example.replace(/\/$/, "")));
    expect(done.copies[0]).toMatchObject({ verified: 5, failed: 0 });
    const kept = await readdir(join(home, "one", "A002R2EC", "ascmhl-from-card"));
    expect(kept).toEqual(["0001_A002R2EC_2020-01-16_091500Z.mhl", "ascmhl_chain.xml"]);
  });

  it("killed at random moments, the same command goes on and leaves no stray files", async () => {
    const card = join(home, "card");
    await mkdir(join(card, "CLIPS"), { recursive: true });
    const names = Array.from({ length: 6 }, (_, i) => `CLIPS/A00${i}.mov`);
    for (const [i, name] of names.entries())
      await writeFile(join(card, name), Buffer.alloc(9_000_000 + i, `${i} mill`));
    const wish = wishOf(card);
    const script = join(home, "run.mjs");
    await writeFile(
      script,
      `import { copyCards } from ${JSON.stringify(pathToFileURL(join(bundle, "copy-cards.mjs")).href)};
      const wish = ${JSON.stringify(wish)};
      console.log("ready");
      await copyCards({ ...wish, displayPath: (path) => path }, () => {}, new AbortController().signal);`,
    );
    const link = join(bundle, "node_modules");
    if (!existsSync(link)) {
      await symlink(fileURLToPath(new URL("../../node_modules", import.meta.url)), link, "junction");
    }
    let kills = 0;
    for (const delayMs of [5, 25, 60, 110]) {
      const child = spawn(process.execPath, [script], { stdio: ["ignore", "pipe", "inherit"] });
      const exit = once(child, "exit");
      await once(child.stdout, "data");
      const timer = setTimeout(() => child.kill("SIGKILL"), delayMs);
      const [, killedBy] = await exit;
      clearTimeout(timer);
      if (killedBy === "SIGKILL") kills += 1;
      for (const place of ["one", "two"]) {
        for (const name of names) {
          const copy = join(home, place, "A002R2EC", name);
          if (existsSync(copy))
            expect(await hashFile(copy, "xxh64")).toBe(await hashFile(join(card, name), "xxh64"));
        }
      }
    }
    expect(kills).toBeGreaterThan(0);
    const done = await run(wish);
    expect(done.copies).toMatchObject([
      { verified: 6, failed: 0 },
      { verified: 6, failed: 0 },
    ]);
    const left = Object.keys(await tree(home)).filter(
      (path) => !path.startsWith("card") && path !== "run.mjs",
    );
    const expected = ["one", "two"].flatMap((place) => names.map((name) => join(place, "A002R2EC", name)));
    expect(left.filter((path) => !path.includes("ascmhl")).sort()).toEqual(
      [...expected, join("measured", "cards.json")].sort(),
    );
    expect(await hashBytes("xxh128", await readFile(join(home, expected[0]!)))).toBe(
      done.files[0]!.hash.slice(7),
    );
  });
});
