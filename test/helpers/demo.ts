import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync, rmSync, statSync } from "node:fs";
import { join } from "node:path";
import { setTimeout as wait } from "node:timers/promises";
import { fileURLToPath } from "node:url";
import { runGemel } from "./run-gemel.ts";

const root = fileURLToPath(new URL("../../", import.meta.url));
const patienceMs = 580_000;

/** Changes with any source below these folders. */
const generation = (folders: readonly string[]): string => {
  const hash = createHash("sha256");
  for (const folder of folders)
    for (const entry of readdirSync(join(root, folder), { recursive: true, withFileTypes: true }))
      if (entry.isFile() && !entry.name.includes(".test."))
        hash.update(readFileSync(join(entry.parentPath, entry.name)));
  return hash.digest("hex").slice(0, 12);
};

/**
 * A folder that several tests look at: made once by whichever asks first, again only when the code that makes it
 * has changed. It appears whole.
 */
async function made(
  name: string,
  by: readonly string[],
  make: (folder: string) => Promise<void>,
): Promise<string> {
  const base = join(root, ".cache");
  const folder = join(base, `${name}-${generation(by)}`);
  const lock = `${folder}.making`;
  const from = Date.now();
  mkdirSync(base, { recursive: true });
  while (!existsSync(folder)) {
    try {
      mkdirSync(lock);
    } catch {
      const since = statSync(lock, { throwIfNoEntry: false })?.mtimeMs ?? Date.now();
      // Another test makes it; a lock that outlived its maker is broken.
      if (Date.now() - since > patienceMs) rmSync(lock, { recursive: true, force: true });
      if (Date.now() - from > patienceMs) throw new Error(`${name} did not get ready`);
      await wait(250);
      continue;
    }
    try {
      for (const old of readdirSync(base))
        if (old.startsWith(`${name}-`) && !old.endsWith(".making"))
          rmSync(join(base, old), { recursive: true, force: true });
      const work = join(base, `.work-${name}-${process.pid}`);
      rmSync(work, { recursive: true, force: true });
      await make(work);
      renameSync(work, folder);
    } finally {
      rmSync(lock, { recursive: true, force: true });
    }
  }
  return folder;
}

const gemel = async (args: readonly string[]): Promise<void> => {
  const ran = await runGemel(args, root);
  if (ran.code !== 0) throw new Error(`gemel ${args.join(" ")} ended with ${ran.code}: ${ran.err}`);
};

const demoSources = ["demo", "src/outside/media"];

/** The demo that a newcomer sees: `cards/A`, `cards/B` and `truth.json`. Only read it. */
export const wholeDemo = (): Promise<string> =>
  made("demo", demoSources, (folder) => gemel(["demo", folder]));

/** Twenty minutes of the demo's sound. */
export const longSoundDemo = (): Promise<string> =>
  made("sound20", demoSources, (folder) => gemel(["demo", folder, "--minutes", "20", "--sound-only"]));

/** The demo's cards after the main job, as the code is now. Only read it. */
export const finishedSitting = (): Promise<string> =>
  made("sitting", ["demo", "src"], async (folder) => {
    const cards = join(await wholeDemo(), "cards");
    await gemel([
      "run",
      "--a",
      join(cards, "A"),
      "--b",
      join(cards, "B"),
      "--out",
      folder,
      "--title",
      "The tide-mill loft",
    ]);
  });
