import { cp, mkdir, mkdtemp, readdir, rm, stat } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import type { ChapterName, ChapterResults } from "#documents/chapter-results";
import type { ChannelRole, Recording } from "#documents/recording";
import type { Sitting } from "#documents/sitting";
import { ExplainedError } from "#errors/explained-error";
import { copyOut, makeFolder } from "#outside/disk/make-folder";
import { type AnyChapter, chapterNamed, type MeasuredName } from "./chapters.ts";
import { newSitting } from "./sitting-store.ts";
import type { Executor, ProbeAnswer, Progress } from "./task.ts";

/** A file named on a command line, and what was said of it. */
export interface NamedFile {
  readonly path: string;
  readonly device: string;
  readonly roles?: readonly { readonly channel: number; readonly role: ChannelRole }[];
}

/** What names a bare file for the time of one command: its content is not hashed, since nothing is kept. */
const nameOf = (path: string, index: number): string => `file:${index}:${resolve(path)}`;

/**
 * Probes files that were named by hand.
 *
 * @throws ExplainedError naming the first file that is missing or cannot be decoded at all.
 */
export async function openNamedFiles(
  files: readonly NamedFile[],
  executor: Executor,
  signal: AbortSignal,
): Promise<Recording[]> {
  return await Promise.all(
    files.map(async ({ path, device, roles = [] }, index): Promise<Recording> => {
      const absolute = resolve(path);
      const found = await stat(absolute).catch(() => undefined);
      if (!found)
        throw new ExplainedError(
          "FILE_MISSING",
          {
            happened: `There is no file ${path}.`,
            means: "Nothing was done.",
            doNext: "Check the name and the drive.",
          },
          { path },
        );
      if (found.isDirectory())
        throw new ExplainedError(
          "FOLDER_EMPTY",
          {
            happened: `${path} is a folder${(await readdir(absolute)).length === 0 ? " with nothing in it" : ""}, and a recording was expected.`,
            means: "Nothing was done.",
            doNext: "Name the recordings in it one by one.",
          },
          { path },
        );
      const { probe, readableSeconds } = await executor.run<ProbeAnswer>(
        { kind: "probe", path: absolute },
        () => {},
        signal,
      );
      return {
        hash: nameOf(path, index),
        path,
        device,
        kind: probe.picture ? "camera" : "sound",
        roles: [...roles],
        probe,
        ...(readableSeconds === undefined ? {} : { readableSeconds }),
      };
    }),
  );
}

export interface FilesWish<Name extends MeasuredName> {
  readonly chapter: Name;
  readonly recordings: readonly Recording[];
  readonly decisions?: Partial<Sitting["decisions"]>;
  /** What is said of the cameras' colour. */
  readonly colour?: Sitting["colour"];
  /** Charts whose corners a person set. */
  readonly charts?: Sitting["charts"];
  /** Where made files go; they are thrown away where it is not given. */
  readonly out?: string;
  /** A last look before the made files are thrown away; `take` copies one, by its path in the result, to where it is wanted. */
  readonly keep?: (
    result: ChapterResults[Name],
    take: (path: string, to: string) => Promise<void>,
  ) => Promise<ChapterResults[Name]>;
  readonly executor: Executor;
  readonly tell: (chapter: ChapterName, progress: Progress) => void;
  readonly signal: AbortSignal;
}

/** One chapter, and those it comes after where they can be measured, over bare files and without a sitting. */
export async function measureFiles<Name extends MeasuredName>(
  wish: FilesWish<Name>,
): Promise<{ result: ChapterResults[Name]; verdict: string }> {
  const folder = await mkdtemp(join(tmpdir(), "gemel-"));
  try {
    const sitting = newSitting("", [], [], new Date(0));
    const view = {
      ...sitting,
      decisions: { ...sitting.decisions, ...wish.decisions },
      ...(wish.colour ? { colour: wish.colour } : {}),
      ...(wish.charts && wish.charts.length > 0 ? { charts: wish.charts } : {}),
    };
    const locations = Object.fromEntries(wish.recordings.map(({ hash, path }) => [hash, resolve(path)]));
    const results: Partial<ChapterResults> = {};
    const last = chapterNamed(wish.chapter);
    for (const chapter of [...last.after.filter((name) => name !== "cards").map(chapterNamed), last]) {
      const inputs = chapter.inputs({ sitting: view, recordings: wish.recordings, results });
      if ("missing" in inputs) {
        if (chapter === last)
          throw new ExplainedError("NOTHING_TO_DO", {
            happened: inputs.missing,
            means: "Nothing was done.",
            doNext: "Name the files that are missing.",
          });
        continue;
      }
      const result = await measure(chapter, inputs, folder, locations, wish).catch((error: unknown) => {
        // What comes before helps, and is not asked for: without it the chapter says what it can.
        if (chapter !== last && error instanceof ExplainedError && error.code !== "CANCELLED") return null;
        throw error;
      });
      if (result === null) continue;
      Object.assign(results, { [chapter.name]: result });
    }
    const measured = results[wish.chapter] as ChapterResults[Name];
    const result = wish.keep
      ? await wish.keep(measured, (path, to) => copyOut(join(folder, path), to))
      : measured;
    const made = join(folder, wish.chapter);
    if (wish.out !== undefined && (await stat(made).catch(() => undefined))) {
      await makeFolder(wish.out);
      await cp(made, wish.out, { recursive: true });
    }
    return { result: placed(result, `${wish.chapter}/`, wish.out), verdict: last.verdict(result) };
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

async function measure(
  chapter: AnyChapter,
  inputs: object,
  folder: string,
  locations: Readonly<Record<string, string>>,
  { executor, tell, signal }: Pick<FilesWish<MeasuredName>, "executor" | "tell" | "signal">,
): Promise<ChapterResults[MeasuredName]> {
  const work = join(folder, chapter.name);
  await mkdir(work, { recursive: true });
  return await executor.run(
    {
      kind: "measure",
      chapter: chapter.name,
      inputs,
      locations,
      folders: { sitting: folder, work, workWillBe: chapter.name },
    },
    (progress) => tell(chapter.name, progress),
    signal,
  );
}

/** Turns paths of made files into where they lie now, or leaves them out where they were thrown away. */
function placed<T>(value: T, prefix: string, out: string | undefined): T {
  if (typeof value === "string")
    return (
      value.startsWith(prefix) && out !== undefined ? join(out, value.slice(prefix.length)) : value
    ) as T;
  if (Array.isArray(value))
    return value
      .filter((item) => !(out === undefined && typeof item === "string" && item.startsWith(prefix)))
      .map((item) => placed(item, prefix, out)) as T;
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(
    Object.entries(value).map(([name, item]) => [name, placed(item, prefix, out)]),
  ) as T;
}
