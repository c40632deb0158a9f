import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync, rmSync, statSync } from "node:fs";
import { join } from "node:path";
import { setTimeout as wait } from "node:timers/promises";
import { fileURLToPath } from "node:url";
import { runGemel } from "./run-gemel.ts";

const root = fileURLToPath(new URL("../../", import.meta.url));

const sources = (folder: string): string[] =>
  readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && !entry.name.includes(".test."))
    .map((entry) => join(entry.parentPath, entry.name))
    .sort();

/** The demo as its sources are now: a change of the generator makes another folder. */
const generation = (): string => {
  const hash = createHash("sha256");
  for (const file of [...sources(join(root, "demo")), join(root, "src/outside/media/movie-writer.ts")])
    hash.update(readFileSync(file));
  return hash.digest("hex").slice(0, 12);
};

const patienceMs = 280_000;

/**
 * A demo made once for all tests, whichever asks first; `cards/A`, `cards/B` and `truth.json` are in the folder.
 * Only read it: give `gemel run` a folder of your own.
 */
export async function demo(name: string, args: readonly string[]): Promise<string> {
  const base = join(root, ".cache");
  const folder = join(base, `${name}-${generation()}`);
  const lock = `${folder}.making`;
  mkdirSync(base, { recursive: true });
  const from = Date.now();
  while (!existsSync(join(folder, "truth.json"))) {
    try {
      mkdirSync(lock);
    } catch {
      // Another test makes it; a lock that outlived its maker is broken.
      if (Date.now() - statSync(lock, { throwIfNoEntry: false })!.mtimeMs > patienceMs) rmSync(lock, { recursive: true, force: true });
      if (Date.now() - from > patienceMs) throw new Error(`the demo ${name} did not get ready`);
      await wait(250);
      continue;
    }
    try {
      for (const old of readdirSync(base)) if (old.startsWith(`${name}-`) && !old.endsWith(".making")) rmSync(join(base, old), { recursive: true, force: true });
      const work = join(base, `work-${name}-${process.pid}`);
      const ran = await runGemel(["demo", work, ...args], root);
      if (ran.code !== 0) throw new Error(`gemel demo ended with ${ran.code}: ${ran.err}`);
      renameSync(work, folder);
    } finally {
      rmSync(lock, { recursive: true, force: true });
    }
  }
  return folder;
}

/** The demo that a newcomer sees. */
export const wholeDemo = (): Promise<string> => demo("demo", []);
