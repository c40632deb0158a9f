import { basename, dirname, join, resolve, sep } from "node:path";
import { ExplainedError } from "#errors/explained-error";
import type { Disk } from "./disk.ts";

/**
 * Refuses places that would hold copies that are none: on the card itself, or two that are one folder. Links are
 * followed before comparing.
 *
 * @param cards - Absolute paths of cards that are there, and the folder of the device's copies inside a place.
 * @throws ExplainedError `COPY_PLACE_INSIDE_SOURCE`, `USAGE`.
 */
export async function checkPlaces(
  disk: Disk,
  places: readonly { readonly name: string; readonly folder: string }[],
  cards: readonly { readonly root: string; readonly isFile: boolean; readonly folder: string }[],
  displayPath: (path: string) => string,
): Promise<void> {
  const folders = await Promise.all(places.map(({ folder }) => nearestRealPath(disk, folder)));
  for (const [index, place] of folders.entries()) {
    const { name } = places[index]!;
    const twin = folders.indexOf(place);
    if (twin < index) throw samePlace(places[twin]!.name, name);
    for (const { root, isFile, folder } of cards) {
      const source = await disk.realPath(root);
      const home = join(place, folder);
      const isInside = isFile
        ? source === join(home, basename(source))
        : isWithin(home, source) || isWithin(source, home);
      if (isInside) throw placeInside(displayPath(root), name);
    }
  }
}

/** Whether a path is a folder or lies in it; both absolute. */
export function isWithin(path: string, folder: string): boolean {
  return path === folder || path.startsWith(folder.endsWith(sep) ? folder : folder + sep);
}

/** The real path of what is there of `path`, and the rest of it as it is. */
async function nearestRealPath(disk: Disk, path: string): Promise<string> {
  for (let at = resolve(path), rest = ""; ; rest = join(basename(at), rest), at = dirname(at)) {
    try {
      return join(await disk.realPath(at), rest);
    } catch {
      if (at === dirname(at)) return join(at, rest);
    }
  }
}

function placeInside(card: string, place: string): ExplainedError {
  return new ExplainedError(
    "COPY_PLACE_INSIDE_SOURCE",
    {
      happened: `The copies in ${place} would lie inside ${card}, which they are copies of.`,
      means: "They would be lost together with it. Nothing was copied.",
      doNext: "Give a place outside the card, best on another drive.",
    },
    { card, place },
  );
}

function samePlace(one: string, other: string): ExplainedError {
  return new ExplainedError(
    "USAGE",
    {
      happened:
        one === other ? `${one} is given as a place twice.` : `${one} and ${other} are the same folder.`,
      means: "Two copies in one folder would be one copy. Nothing was copied.",
      doNext: "Give two different folders, best on two drives.",
    },
    { one, other },
  );
}
