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
  /** What is said of the cameras' colour; what was said before stays where this says nothing. */
  readonly colour?: Sitting["colour"];
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
  const files = filesOf(wish.devices);
  await refuseUnusable(wish.devices, executor, signal);
  const folder = resolve(wish.folder);
  const cards = cardsOf(folder, wish.devices);
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
    ...(wish.colour
      ? {
          colour: {
            ...before.colour,
            ...wish.colour,
            curves: { ...before.colour?.curves, ...wish.colour.curves },
          },
        }
      : {}),
  };
  if (JSON.stringify(sitting) !== JSON.stringify(before) || !(await isSitting(folder)))
    await writeSitting(folder, sitting);
  return sitting;
}

const filesOf = (devices: readonly DeviceFiles[]): { device: string; path: string }[] =>
  devices.flatMap(({ device, paths }) => paths.map((path) => ({ device, path })));

/** Files of devices as a sitting in this folder names them. */
export const cardsOf = (folder: string, devices: readonly DeviceFiles[]): Sitting["cards"] =>
  devices.map(({ device, kind, paths }) => ({
    device,
    kind,
    paths: paths.map((path) => shownPath(folder, resolve(path))),
  }));

/** @throws ExplainedError naming the first file or folder that nothing can be done with. */
export async function refuseUnusable(
  devices: readonly DeviceFiles[],
  executor: Executor,
  signal: AbortSignal,
): Promise<void> {
  const bare: { device: string; path: string }[] = [];
  for (const file of filesOf(devices)) {
    const found = await stat(resolve(file.path)).catch(() => undefined);
    if (!found?.isDirectory()) bare.push(file);
    else await refuseEmptyFolder(file.path);
  }
  await openNamedFiles(bare, executor, signal);
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
