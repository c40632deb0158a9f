import { copyFile, link, mkdir, readdir, readFile, rm, stat, utimes } from "node:fs/promises";
import { extname, join } from "node:path";
import { writeWhole } from "#outside/disk/write-whole";
import { contentKey } from "./result-cache.ts";

/*
 * measured/remembered/: parts of the chapters' work that depend on less than a whole chapter does, so that a decision
 * about the cut is not answered by listening and by taking every still again. Named by what they depend on; safe to
 * delete, and the oldest are.
 */

const folderOf = (sitting: string): string => join(sitting, "measured", "remembered");

/** More than two hours' cut in small stills; beyond that the longest unused go. */
const mostFiles = 6000;

/** The answer (JSON) kept under a name for these inputs, or made and kept now. */
export async function rememberedAnswer<T>(
  sitting: string,
  name: string,
  inputs: unknown,
  make: () => Promise<T>,
): Promise<T> {
  const path = join(folderOf(sitting), `${contentKey([name, inputs])}-${name}.json`);
  try {
    const answer = JSON.parse(await readFile(path, "utf8")) as T;
    await markUsed(path);
    return answer;
  } catch {
    // Not there, or cut: it is made again.
  }
  const answer = await make();
  await mkdir(folderOf(sitting), { recursive: true });
  await writeWhole(path, JSON.stringify(answer));
  return answer;
}

/** Puts at `to` the file kept under a name for these inputs; `make` makes it where there is none. */
export async function rememberedFile(
  sitting: string,
  name: string,
  inputs: unknown,
  to: string,
  make: (path: string) => Promise<unknown>,
): Promise<void> {
  const kept = join(folderOf(sitting), `${contentKey([name, inputs])}${extname(name)}`);
  try {
    if ((await stat(kept)).size > 0) {
      await copyFile(kept, to);
      await markUsed(kept);
      return;
    }
  } catch {
    // Not there, or lost in between: it is made.
  }
  await make(to);
  await mkdir(folderOf(sitting), { recursive: true });
  // One file under two names where the drive can; what is kept is never written to again.
  await link(to, kept).catch(() => copyFile(to, kept).catch(() => rm(kept, { force: true })));
}

const markUsed = (path: string): Promise<void> => utimes(path, new Date(), new Date()).catch(() => {});

/** Removes what was not used for longest, down to a number of files. Only called while the sitting's lock is held. */
export async function pruneRemembered(sitting: string, most = mostFiles): Promise<void> {
  const folder = folderOf(sitting);
  const names = await readdir(folder).catch(() => []);
  if (names.length <= most) return;
  const aged = await Promise.all(
    names.map(async (name) => ({
      name,
      at: await stat(join(folder, name)).then(
        ({ mtimeMs }) => mtimeMs,
        () => 0,
      ),
    })),
  );
  aged.sort((a, b) => b.at - a.at);
  for (const { name } of aged.slice(most)) await rm(join(folder, name), { force: true });
}
