import { createHash } from "node:crypto";
import { mkdir, readdir, readFile, rename, rm, stat } from "node:fs/promises";
import { join } from "node:path";
import type { ChapterName, ChapterResults } from "#documents/chapter-results";
import { writeWhole } from "#outside/disk/write-whole";

/*
 * measured/<chapter>/<key>/result.json and whatever files the chapter made beside it. The key is the content of
 * the inputs and the chapter's version, so a result is found again exactly while nothing it depends on changed.
 * A folder appears by one rename, whole; what is being made lies in measured/.work-* and is swept by the next run.
 */

/** How many results per chapter are kept beside those in use, so that going back on a decision costs nothing. */
const keptBeside = 6;

/** Where a recording lies says nothing about its content: a `path` beside a `hash` is left out of the key. */
const content = (value: unknown): unknown => {
  if (Array.isArray(value)) return value.map(content);
  if (typeof value !== "object" || value === null) return value;
  const known = value as Record<string, unknown>;
  return Object.fromEntries(
    Object.keys(known)
      .filter((name) => !(name === "path" && typeof known["hash"] === "string"))
      .sort()
      .map((name) => [name, content(known[name])]),
  );
};

/** Names a content: 24 hex digits of SHA-256 over canonical JSON. */
export const contentKey = (value: unknown): string =>
  createHash("sha256")
    .update(JSON.stringify(content(value)))
    .digest("hex")
    .slice(0, 24);

/** The key of a result. */
export const resultKey = (chapter: ChapterName, version: number, inputs: unknown): string =>
  contentKey([chapter, version, inputs]);

export const resultFolder = (chapter: ChapterName, key: string): string => `measured/${chapter}/${key}`;

/** A made file may name the recording that it shows; its own path is not the recording's. */
const isMade = (path: string): boolean => path.startsWith("measured/") || path.startsWith("handover/");

/** Puts today's paths on recordings that a kept result knows by hash: a moved drive relinks. */
export function relink<T>(value: T, pathOf: (hash: string) => string | undefined): T {
  if (Array.isArray(value)) return value.map((item) => relink(item, pathOf)) as T;
  if (typeof value !== "object" || value === null) return value;
  const known = value as Record<string, unknown>;
  const path =
    typeof known["hash"] === "string" && typeof known["path"] === "string" && !isMade(known["path"])
      ? pathOf(known["hash"])
      : undefined;
  const entries = Object.entries(known).map(([name, item]) => [name, relink(item, pathOf)] as const);
  return Object.fromEntries(path === undefined ? entries : [...entries, ["path", path]]) as T;
}

interface KeptResult<Name extends ChapterName> {
  readonly kind: "gemel.measured";
  readonly version: 1;
  readonly chapter: Name;
  readonly result: ChapterResults[Name];
  /** Size of each file made beside it, by path relative to the sitting: a missing or cut file means: measure again. */
  readonly made: Readonly<Record<string, number>>;
}

/** The kept result, or undefined where there is none or any of its files is not as it was made. */
export async function readKept<Name extends ChapterName>(
  sitting: string,
  chapter: Name,
  key: string,
): Promise<ChapterResults[Name] | undefined> {
  try {
    const text = await readFile(join(sitting, resultFolder(chapter, key), "result.json"), "utf8");
    const kept = JSON.parse(text) as KeptResult<Name>;
    if (kept.kind !== "gemel.measured" || kept.version !== 1) return undefined;
    for (const [path, bytes] of Object.entries(kept.made))
      if ((await stat(join(sitting, path))).size !== bytes) return undefined;
    return kept.result;
  } catch {
    // Missing, cut or foreign: all mean that it has to be measured again, and nothing is lost by that.
    return undefined;
  }
}

/** Lists files below a folder as `/` paths. */
async function filesBelow(folder: string, prefix = ""): Promise<string[]> {
  const entries = await readdir(folder, { withFileTypes: true });
  const nested = entries.map((entry) =>
    entry.isDirectory()
      ? filesBelow(join(folder, entry.name), `${prefix}${entry.name}/`)
      : Promise.resolve([`${prefix}${entry.name}`]),
  );
  return (await Promise.all(nested)).flat();
}

/**
 * Turns a finished work folder into a kept result.
 *
 * @param work - Absolute path of the work folder.
 * @param handOn - Where the made files go, relative to the sitting: the result's own folder, or `handover`, whose
 *   files a person takes away; files of an earlier result there that are not made again are removed.
 */
export async function keepResult<Name extends ChapterName>(
  sitting: string,
  chapter: Name,
  key: string,
  work: string,
  handOn: string,
  result: ChapterResults[Name],
): Promise<void> {
  const own = resultFolder(chapter, key);
  const made: Record<string, number> = {};
  for (const name of await filesBelow(work)) made[`${handOn}/${name}`] = (await stat(join(work, name))).size;
  if (handOn !== own) {
    const before = await madeBefore(sitting, chapter);
    for (const path of Object.keys(made)) {
      await mkdir(join(sitting, path, ".."), { recursive: true });
      await rename(join(work, path.slice(handOn.length + 1)), join(sitting, path));
    }
    for (const path of before) if (!(path in made)) await rm(join(sitting, path), { force: true });
    await rm(join(sitting, "measured", chapter), { recursive: true, force: true });
    await rm(work, { recursive: true, force: true });
    await mkdir(work, { recursive: true });
  }
  const kept: KeptResult<Name> = { kind: "gemel.measured", version: 1, chapter, result, made };
  await writeWhole(join(work, "result.json"), `${JSON.stringify(kept)}\n`);
  await mkdir(join(sitting, "measured", chapter), { recursive: true });
  await rm(join(sitting, own), { recursive: true, force: true });
  await rename(work, join(sitting, own));
}

/** Files that earlier results of a chapter handed on. */
async function madeBefore(sitting: string, chapter: ChapterName): Promise<string[]> {
  const folder = join(sitting, "measured", chapter);
  const keys = await readdir(folder).catch(() => []);
  const lists = keys.map(async (key) => {
    const text = await readFile(join(folder, key, "result.json"), "utf8").catch(() => "{}");
    return Object.keys((JSON.parse(text) as Partial<KeptResult<ChapterName>>).made ?? {});
  });
  return (await Promise.all(lists)).flat();
}

/** A fresh folder to work in; its name tells the sweep whose it is. */
export async function openWork(sitting: string): Promise<string> {
  const folder = join(sitting, "measured", `.work-${process.pid}-${Math.random().toString(36).slice(2, 10)}`);
  await mkdir(folder, { recursive: true });
  return folder;
}

/** Removes work folders of runs that were killed. Only called while the sitting's lock is held. */
export async function sweepWork(sitting: string): Promise<void> {
  const names = await readdir(join(sitting, "measured")).catch(() => []);
  for (const name of names)
    if (name.startsWith(".work-"))
      await rm(join(sitting, "measured", name), { recursive: true, force: true });
}

/** Removes the oldest results of a chapter that are neither in use nor among the newest few. */
export async function pruneResults(
  sitting: string,
  chapter: ChapterName,
  inUse: ReadonlySet<string>,
): Promise<void> {
  const folder = join(sitting, "measured", chapter);
  const keys = (await readdir(folder).catch(() => [])).filter((key) => !inUse.has(key));
  const aged = await Promise.all(
    keys.map(async (key) => ({ key, at: (await stat(join(folder, key))).mtimeMs })),
  );
  aged.sort((a, b) => b.at - a.at);
  for (const { key } of aged.slice(keptBeside)) await rm(join(folder, key), { recursive: true, force: true });
}
