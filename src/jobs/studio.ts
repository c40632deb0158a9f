import { randomUUID } from "node:crypto";
import { mkdir, readdir, rmdir } from "node:fs/promises";
import { homedir } from "node:os";
import { isAbsolute, join, relative, resolve } from "node:path";
import type {
  AddRequest,
  DraftAnswer,
  DraftRequest,
  HomePage,
  NewSittingRequest,
  OpenAnswer,
  PlanRequest,
  UploadAnswer,
} from "#documents/routes";
import { ExplainedError } from "#errors/explained-error";
import { makeFolder } from "#outside/disk/make-folder";
import { type LiveChange, type LiveSitting, openLiveSitting } from "./live-sitting.ts";
import { recentSittings, rememberSitting } from "./recent-sittings.ts";
import { cardsOf, refuseUnusable, sittingFromFiles } from "./run-files.ts";
import { isSitting, newSitting, writeSitting } from "./sitting-store.ts";
import type { Executor } from "./task.ts";
import { inboxName, safeFileName, takeUpload } from "./upload-inbox.ts";

/** What stands behind the pages: one sitting open at a time, others to be made and opened. */
export interface Studio {
  live(): LiveSitting;
  /** What changed of the open sitting; another one opened is `sitting`. Answers how to stop listening. */
  onChange(listener: (what: LiveChange) => void): () => void;
  home(): Promise<HomePage>;
  /** @throws ExplainedError where the folder is no sitting; the one that is open stays open. */
  open(folder: string): Promise<OpenAnswer>;
  /** @throws ExplainedError `FOLDER_NOT_EMPTY`, or of the disk. */
  draft(wish: DraftRequest): Promise<DraftAnswer>;
  /** @throws ExplainedError `DRAFT_UNKNOWN`, `UPLOAD_INTERRUPTED`, or of the disk. */
  upload(
    draft: string,
    name: string,
    blocks: AsyncIterable<Uint8Array>,
    bytes: number | null,
  ): Promise<UploadAnswer>;
  /** @throws ExplainedError naming the first file that nothing can be done with; nothing is made then. */
  make(wish: NewSittingRequest): Promise<OpenAnswer>;
  /** @throws ExplainedError naming the first file that nothing can be done with; nothing is added then. */
  add(wish: AddRequest): Promise<OpenAnswer>;
  /**
   * Makes a sitting of a plan alone, and opens it; recordings are added once they are there.
   *
   * @throws ExplainedError `FOLDER_NOT_EMPTY`, or of the disk.
   */
  plan(wish: PlanRequest): Promise<OpenAnswer>;
  /** Stops all work. */
  close(): Promise<void>;
}

export interface StudioWish {
  /** The sitting that is open first. */
  readonly folder: string;
  readonly executor: Executor;
  /** The person's own folder; a test has another. */
  readonly home?: string;
}

/** @throws ExplainedError where the folder is no sitting. */
export async function openStudio({ folder, executor, home = homedir() }: StudioWish): Promise<Studio> {
  const newSittingsIn = join(home, "Gemel");
  const listeners = new Set<(what: LiveChange) => void>();
  const drafts = new Map<string, string>();
  const stopping = new AbortController();
  let turn: Promise<unknown> = Promise.resolve();

  const begin = async (at: string): Promise<{ live: LiveSitting; deafen: () => void }> => {
    const live = await openLiveSitting(at, executor, { proxies: true });
    const deafen = live.onChange((what) => {
      for (const listener of listeners) listener(what);
    });
    await rememberSitting(at, live.said().said.title, new Date());
    return { live, deafen };
  };
  let current = await begin(resolve(folder));

  /** One sitting is opened after another, never two at once. */
  const inTurn = <T>(work: () => Promise<T>): Promise<T> => {
    const mine = turn.then(work);
    turn = mine.catch(() => {});
    return mine;
  };

  const open = async (at: string): Promise<OpenAnswer> => {
    if (at !== current.live.folder) {
      const next = await begin(at);
      const before = current;
      current = next;
      before.deafen();
      await before.live.cancel();
      for (const listener of listeners) listener("sitting");
    }
    // What goes wrong stands in the page.
    current.live.run().catch(() => {});
    return { folder: at };
  };

  return {
    live: () => current.live,
    onChange: (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    home: async () => ({ recent: await recentSittings(), newSittingsIn, open: current.live.folder }),
    open: (wanted) => inTurn(() => open(wholePath(wanted))),
    draft: async ({ title, folder: wanted, open: isOpen }) => {
      const at = isOpen
        ? current.live.folder
        : wanted === undefined
          ? await freeFolder(newSittingsIn, title)
          : wholePath(wanted);
      if (!isOpen) await refuseTaken(at);
      await mkdir(join(at, inboxName), { recursive: true });
      const draft = randomUUID();
      drafts.set(draft, at);
      return { draft, folder: at };
    },
    upload: async (draft, name, blocks, bytes) => {
      const at = drafts.get(draft);
      if (at === undefined) throw draftUnknown();
      return await takeUpload(at, name, blocks, bytes);
    },
    make: (wish) =>
      inTurn(async () => {
        const drafted = wish.draft === undefined ? undefined : drafts.get(wish.draft);
        if (wish.draft !== undefined && drafted === undefined) throw draftUnknown();
        const at =
          drafted ??
          (wish.folder === undefined ? await freeFolder(newSittingsIn, wish.title) : wholePath(wish.folder));
        if (drafted === undefined) await refuseTaken(at);
        const devices = wish.devices.map((one) => ({ ...one, paths: one.paths.map(wholePath) }));
        const backups = (wish.backups ?? []).map(wholePath);
        await sittingFromFiles(
          {
            folder: at,
            title: wish.title,
            devices,
            backups,
            inPlace: wish.inPlace ?? (areUploadsOf(at, devices) && backups.length === 0),
            roles: [],
            decisions: {},
            now: new Date(),
          },
          executor,
          stopping.signal,
        );
        if (wish.draft !== undefined) drafts.delete(wish.draft);
        return await open(at);
      }),
    add: (wish) =>
      inTurn(async () => {
        const at = current.live.folder;
        if (wish.draft !== undefined && drafts.get(wish.draft) !== at) throw draftUnknown();
        const devices = wish.devices.map((one) => ({ ...one, paths: one.paths.map(wholePath) }));
        const backups = (wish.backups ?? []).map(wholePath);
        await refuseUnusable(devices, executor, stopping.signal);
        const inPlace = wish.inPlace ?? (areUploadsOf(at, devices) && backups.length === 0);
        await current.live.addCards(cardsOf(at, devices), inPlace ? [] : ["originals", ...backups]);
        if (wish.draft !== undefined) drafts.delete(wish.draft);
        return { folder: at };
      }),
    plan: ({ title, folder: wanted, plan }) =>
      inTurn(async () => {
        const at = wanted === undefined ? await freeFolder(newSittingsIn, title) : wholePath(wanted);
        await refuseTaken(at);
        await makeFolder(at);
        await writeSitting(at, { ...newSitting(title, [], ["originals"], new Date()), plan });
        return await open(at);
      }),
    close: async () => {
      stopping.abort();
      await turn;
      current.deafen();
      await current.live.cancel();
      for (const at of drafts.values()) await removeEmptyDraft(at);
    },
  };
}

/** @throws ExplainedError `USAGE`: what is meant by a relative path depends on where the program was started. */
function wholePath(path: string): string {
  if (isAbsolute(path) && !path.includes("\0")) return resolve(path);
  throw new ExplainedError(
    "USAGE",
    {
      happened: `${JSON.stringify(path)} is not a whole path.`,
      means: "Nothing was done.",
      doNext: `Write it from the root of the drive on, as in ${JSON.stringify(join(homedir(), path))}.`,
    },
    { path },
  );
}

/** What lies in the inbox was copied on its way here; a second copy in the same folder would guard nothing. */
function areUploadsOf(folder: string, devices: readonly { readonly paths: readonly string[] }[]): boolean {
  return devices.every(({ paths }) => paths.every((path) => isInside(join(folder, inboxName), path)));
}

function isInside(folder: string, path: string): boolean {
  const way = relative(folder, path);
  return way !== "" && !way.startsWith("..") && !isAbsolute(way);
}

async function refuseTaken(folder: string): Promise<void> {
  const found = await readdir(folder).catch((error: unknown) => {
    if ((error as NodeJS.ErrnoException).code === "ENOENT") return [];
    if ((error as NodeJS.ErrnoException).code === "ENOTDIR") return [folder];
    throw error;
  });
  if (found.length === 0) return;
  const what = (await isSitting(folder)) ? "holds a sitting already" : "is not empty";
  throw new ExplainedError(
    "FOLDER_NOT_EMPTY",
    {
      happened: `${folder} ${what}.`,
      means: "A new sitting needs a folder of its own. Nothing was done.",
      doNext: "Name another folder, or open the sitting that is there.",
    },
    { folder },
  );
}

/** A folder named for a title, with a number where that is taken. */
async function freeFolder(parent: string, title: string): Promise<string> {
  const name = safeFileName(title.replaceAll(/[/\\]/g, " ").trim());
  const taken = new Set(
    (await readdir(parent).catch(() => [])).map((one) => one.normalize("NFC").toLowerCase()),
  );
  let free = name;
  for (let n = 2; taken.has(free.toLowerCase()); n++) free = `${name} ${n}`;
  return join(parent, free);
}

const draftUnknown = (): ExplainedError =>
  new ExplainedError("DRAFT_UNKNOWN", {
    happened: "The sitting that these files are for is not known any more.",
    means: "Gemel was started anew since, or the sitting has been made already. Nothing was done.",
    doNext: "Begin the new sitting once more.",
  });

/** What was dropped into a draft that came to nothing stays; folders that hold nothing go. */
async function removeEmptyDraft(folder: string): Promise<void> {
  await rmdir(join(folder, inboxName)).catch(() => {});
  await rmdir(folder).catch(() => {});
}
