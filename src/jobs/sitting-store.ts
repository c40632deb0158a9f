import { readFile, stat } from "node:fs/promises";
import { isAbsolute, join, relative, resolve } from "node:path";
import { defaultDecisions, type Sitting, sittingVersion } from "#documents/sitting";
import { sittingFromText } from "#documents/upgrade";
import { ExplainedError } from "#errors/explained-error";
import { makeFolder } from "#outside/disk/make-folder";
import { writeWhole } from "#outside/disk/write-whole";

const fileName = "sitting.json";

/** Whether a folder holds a sitting. */
export async function isSitting(folder: string): Promise<boolean> {
  return await stat(join(folder, fileName)).then(
    (found) => found.isFile(),
    () => false,
  );
}

/** @throws ExplainedError `FILE_MISSING` where the folder holds no sitting; those of {@link sittingFromText}. */
export async function readSitting(folder: string): Promise<Sitting> {
  const path = join(folder, fileName);
  let text: string;
  try {
    text = await readFile(path, "utf8");
  } catch (cause) {
    throw new ExplainedError(
      "FILE_MISSING",
      {
        happened: `${folder} holds no ${fileName}.`,
        means: "It is not the folder of a sitting.",
        doNext: "Name the folder of a sitting, or make one: gemel run --a A.mov --b B.mp4 --out FOLDER.",
      },
      { path },
      { cause },
    );
  }
  return sittingFromText(text, path);
}

/** Written whole or not at all; keys that this program does not know are kept. */
export async function writeSitting(folder: string, sitting: Sitting): Promise<void> {
  await makeFolder(folder);
  await writeWhole(join(folder, fileName), `${JSON.stringify(sitting, null, 2)}\n`);
}

export type Card = Sitting["cards"][number];

/** A new sitting with the decisions that most people would make. */
export function newSitting(
  title: string,
  cards: readonly Card[],
  places: readonly string[],
  now: Date,
): Sitting {
  return {
    kind: "gemel.sitting",
    version: sittingVersion,
    title,
    createdAt: now.toISOString(),
    cards: [...cards],
    places: [...places],
    roles: [],
    decisions: defaultDecisions,
  };
}

/** Paths in a sitting are absolute, or relative to its folder. */
export const insideOf = (folder: string, path: string): string =>
  isAbsolute(path) ? path : resolve(folder, path);

/** The path as a person knows it: relative to the sitting where it lies inside, else as it is. */
export function shownPath(folder: string, absolute: string): string {
  const path = relative(folder, absolute);
  return path.startsWith("..") || isAbsolute(path) ? absolute : path.replaceAll("\\", "/");
}
