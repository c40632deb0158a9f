import { readdir, stat } from "node:fs/promises";
import { resolve } from "node:path";
import type { ChannelRole } from "#documents/recording";
import type { Sitting } from "#documents/sitting";
import { ExplainedError } from "#errors/explained-error";
import { makeFolder } from "#outside/disk/make-folder";
import { openNamedFiles } from "./measure-files.ts";
import { isSitting, newSitting, readSitting, shownPath, writeSitting } from "./sitting-store.ts";
import type { Executor } from "./task.ts";

/** Files of one device as a person named them. */
export interface DeviceFiles {
  /** `A`, `B`, `C` for cameras; `sound` for a recorder. */
  readonly device: string;
  readonly kind: "camera" | "sound";
  readonly paths: readonly string[];
}

export interface NewSittingWish {
  readonly folder: string;
  readonly title: string;
  readonly devices: readonly DeviceFiles[];
  /** Folders for further copies, besides `originals` in the sitting. */
  readonly backups: readonly string[];
  /** Work from the files where they lie; nothing is copied. */
  readonly inPlace: boolean;
  readonly roles: readonly { readonly path: string; readonly channel: number; readonly role: ChannelRole }[];
  readonly decisions: Partial<Sitting["decisions"]>;
  readonly now: Date;
}

/**
 * Makes a sitting of files that were named by hand, or brings the one that is there up to what was named.
 * Nothing is written before every named file has shown that it can be decoded.
 *
 * @throws ExplainedError naming the first file or folder that nothing can be done with.
 */
export async function sittingFromFiles(
  wish: NewSittingWish,
  executor: Executor,
  signal: AbortSignal,
): Promise<Sitting> {
  const files = wish.devices.flatMap(({ device, paths }) => paths.map((path) => ({ device, path })));
  const bare: { device: string; path: string }[] = [];
  for (const file of files) {
    const found = await stat(resolve(file.path)).catch(() => undefined);
    if (!found?.isDirectory()) bare.push(file);
    else await refuseEmptyFolder(file.path);
  }
  await openNamedFiles(bare, executor, signal);

  const folder = resolve(wish.folder);
  const cards = wish.devices.map(({ device, kind, paths }) => ({
    device,
    kind,
    paths: paths.map((path) => shownPath(folder, resolve(path))),
  }));
  const places = wish.inPlace ? [] : ["originals", ...wish.backups.map((place) => resolve(place))];
  const roles = wish.roles.map(({ path, channel, role }) => {
    const said = files.find((file) => resolve(file.path) === resolve(path));
    if (!said)
      throw new ExplainedError("USAGE", {
        happened: `--role names ${path}, which is not among the recordings.`,
        means: "Nothing was done.",
        doNext: "Name a file that was given to --a, --b, --c or --sound.",
      });
    return { device: said.device, file: path.split(/[/\\]/).at(-1)!, channel, role };
  });
  await makeFolder(folder);
  const before = (await isSitting(folder))
    ? await readSitting(folder)
    : newSitting(wish.title, cards, places, wish.now);
  const sitting: Sitting = {
    ...before,
    cards,
    places,
    roles,
    decisions: { ...before.decisions, ...wish.decisions },
  };
  if (JSON.stringify(sitting) !== JSON.stringify(before) || !(await isSitting(folder)))
    await writeSitting(folder, sitting);
  return sitting;
}

async function refuseEmptyFolder(path: string): Promise<void> {
  if ((await readdir(resolve(path))).length > 0) return;
  throw new ExplainedError(
    "FOLDER_EMPTY",
    {
      happened: `The folder ${path} is empty.`,
      means: "There is no recording in it, so nothing was done.",
      doNext: "Name the folder or the files of the card that was filmed on.",
    },
    { path },
  );
}
