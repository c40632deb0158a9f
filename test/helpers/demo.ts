import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { setTimeout as wait } from "node:timers/promises";
import { fileURLToPath } from "node:url";
import { layRecordings, type RanAsWritten, readmeRun, runAsWritten } from "./readme.ts";
import { runGemel } from "./run-gemel.ts";

const root = fileURLToPath(new URL("../../", import.meta.url));
const patienceMs = 580_000;

/** Changes with any source below these folders, and with the words that it is made by. */
const generation = (folders: readonly string[], words: string): string => {
  const hash = createHash("sha256").update(words);
  for (const folder of folders)
    for (const entry of readdirSync(join(root, folder), { recursive: true, withFileTypes: true }))
      if (entry.isFile() && !entry.name.includes(".test."))
        hash.update(readFileSync(join(entry.parentPath, entry.name)));
  return hash.digest("hex").slice(0, 12);
};

/**
 * A folder that several tests look at: made once by whichever asks first, again only when the code that makes it
 * has changed. It is handed out whole.
 *
 * @param by - Folders of this tree that hold that code.
 * @param words - What else it depends on.
 */
export async function made(
  name: string,
  by: readonly string[],
  make: (folder: string) => Promise<void>,
  words = "",
): Promise<string> {
  const base = join(root, ".cache");
  const folder = join(base, `${name}-${generation(by, words)}`);
  const lock = `${folder}.making`;
  const whole = `${folder}.made`;
  const from = Date.now();
  mkdirSync(base, { recursive: true });
  while (!existsSync(whole)) {
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
      // Whoever was first may have made it between the look and the lock.
      if (existsSync(whole)) break;
      for (const old of readdirSync(base))
        if (old.startsWith(`${name}-`) && !old.endsWith(".making"))
          rmSync(join(base, old), { recursive: true, force: true });
      // Where it stays: a sitting names its recordings by where they lay.
      await make(folder);
      writeFileSync(whole, "");
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

/** What of this tree the finished sitting depends on. */
export const sittingSources = ["demo", "src"];

/**
 * A folder in which the README's reader has given its first command: the recordings, the sitting `tide-mill`, and how
 * the command went. Only read it.
 */
export async function sittingAsWritten(): Promise<{ readonly folder: string; readonly ran: RanAsWritten }> {
  const folder = await made(
    "sitting",
    sittingSources,
    async (work) => {
      layRecordings(await wholeDemo(), work);
      const ran = await runAsWritten(readmeRun, work);
      if (ran.status !== 0) throw new Error(`${readmeRun} ended with ${ran.status}: ${ran.stderr}`);
      writeFileSync(join(work, "ran.json"), JSON.stringify(ran));
    },
    readmeRun,
  );
  return { folder, ran: JSON.parse(readFileSync(join(folder, "ran.json"), "utf8")) };
}

/** The demo's recordings after the main job, as the code is now. Only read it. */
export const finishedSitting = async (): Promise<string> =>
  join((await sittingAsWritten()).folder, "tide-mill");
