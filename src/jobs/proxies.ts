import { mkdir, readdir, rm, stat } from "node:fs/promises";
import { join } from "node:path";
import type { ChapterResults } from "#documents/chapter-results";
import { leadingDevice, looksOfDevice, lutsAt } from "#documents/look-of-device";
import type { ProgressOnPage, ProxyOnPage } from "#documents/page";
import type { Recording } from "#documents/recording";
import { picturePlacement, sittingFromLocal } from "#science/placement/placement";
import { contentKey } from "./result-cache.ts";
import { insideOf } from "./sitting-store.ts";
import type { Executor } from "./task.ts";
import { openTimeLeft } from "./time-left.ts";

/*
 * measured/proxies/<key>/proxy.mp4: a small copy of each camera's recording with the match and the look in it, so that
 * a page can play the cut by going from one to the other. Named by the recording's content and its LUTs.
 */

/** Raise it when the same recording and LUTs would give another picture. */
const proxyVersion = 1;
const maxWidth = 640;
const root = "measured/proxies";

interface Wanted extends ProxyOnPage {
  readonly recording: Recording;
  readonly luts: readonly string[];
  readonly key: string;
}

/** What is to be made copies of. */
export interface ProxyGround {
  readonly recordings: readonly Recording[];
  readonly results: Partial<Pick<ChapterResults, "clock" | "colour" | "story">>;
}

/** Makes the proxies of one sitting, one at a time, behind all other work. */
export interface ProxyMaker {
  /** Those that are there for what was asked last. */
  list(): readonly ProxyOnPage[];
  progress(): ProgressOnPage | null;
  /** Makes what is missing; resolves when all are there, or `stop` was called. A copy that cannot be made is left out. */
  make(ground: ProxyGround): Promise<void>;
  stop(): Promise<void>;
}

/** @param changed - Called when the list or the progress is another. */
export function openProxyMaker(
  folder: string,
  executor: Executor,
  changed: (what: "list" | "progress") => void,
): ProxyMaker {
  let there: readonly ProxyOnPage[] = [];
  let progress: ProgressOnPage | null = null;
  let making: {
    readonly work: Promise<void>;
    readonly controller: AbortController;
    readonly keys: string;
  } | null = null;

  const show = (found: readonly Wanted[]): void => {
    const list = found.map(({ hash, path }) => ({ hash, path }));
    if (JSON.stringify(list) === JSON.stringify(there)) return;
    there = list;
    changed("list");
  };

  async function makeAll(wanted: readonly Wanted[], signal: AbortSignal): Promise<void> {
    const made = new Set<string>();
    for (const one of wanted) if (await isThere(folder, one)) made.add(one.key);
    const found = () => wanted.filter(({ key }) => made.has(key));
    show(found());
    const missing = wanted.filter(({ key }) => !made.has(key));
    const lengthOf = ({ recording }: Wanted): number => recording.probe.durationSeconds;
    const total = missing.reduce((sum, one) => sum + lengthOf(one), 0);
    const timeLeft = openTimeLeft();
    let before = 0;
    for (const one of missing) {
      if (signal.aborted) return;
      await makeOne(
        folder,
        one,
        executor,
        (done) => {
          const all = (before + done * lengthOf(one)) / total;
          progress = {
            done: all,
            doing: `making a copy of ${one.recording.path} that plays here`,
            secondsLeft: timeLeft.at(all),
          };
          changed("progress");
        },
        signal,
      ).then(
        () => made.add(one.key),
        // The first cut can still be played; nothing else rests on this copy.
        () => {},
      );
      before += lengthOf(one);
      show(found());
    }
    if (!signal.aborted) await removeOthers(folder, new Set(wanted.map(({ key }) => key)));
  }

  const stop = async (): Promise<void> => {
    making?.controller.abort();
    await making?.work;
  };

  return {
    list: () => there,
    progress: () => progress,
    stop,
    make: async (ground) => {
      const wanted = wantedFor(ground);
      const keys = wanted.map(({ key }) => key).join();
      if (making?.keys === keys) return await making.work;
      await stop();
      const controller = new AbortController();
      const work = makeAll(wanted, controller.signal).finally(() => {
        progress = null;
        making = null;
        changed("progress");
      });
      making = { work, controller, keys };
      await work;
    },
  };
}

/** Cameras' recordings, those that the cut shows first. */
function wantedFor({ recordings, results }: ProxyGround): Wanted[] {
  const cameras = recordings.filter(({ kind, probe }) => kind === "camera" && probe.picture !== null);
  const devices = [...new Set(cameras.map(({ device }) => device))];
  const leading = leadingDevice(devices);
  const shown = new Set(results.story?.events.map(({ hash }) => hash));
  return [...new Map(cameras.map((recording) => [recording.hash, recording])).values()]
    .map((recording): Wanted => {
      // One copy has one look: where it runs over two setups, that of its middle.
      const placed = results.clock?.recordings.find(({ hash }) => hash === recording.hash);
      const placement = placed ? picturePlacement(placed) : null;
      const middle = placement && sittingFromLocal(placement, recording.probe.durationSeconds / 2);
      const luts = lutsAt(looksOfDevice(results.colour, recording.device, leading, devices), middle);
      const key = contentKey(["proxy", proxyVersion, recording.hash, luts, maxWidth]);
      return { recording, luts, key, hash: recording.hash, path: `${root}/${key}/proxy.mp4` };
    })
    .sort((a, b) => Number(shown.has(b.hash)) - Number(shown.has(a.hash)));
}

const isThere = (folder: string, { path }: Wanted): Promise<boolean> =>
  stat(join(folder, path)).then(
    (found) => found.size > 0,
    () => false,
  );

async function makeOne(
  folder: string,
  { recording, luts, path }: Wanted,
  executor: Executor,
  tell: (done: number) => void,
  signal: AbortSignal,
): Promise<void> {
  const out = join(folder, path);
  await mkdir(join(out, ".."), { recursive: true });
  await executor.run(
    {
      kind: "proxy",
      path: insideOf(folder, recording.path),
      out,
      maxWidth,
      luts: luts.map((lut) => join(folder, lut)),
    },
    ({ done }) => tell(done),
    signal,
  );
}

/** Copies of what is no longer in the sitting, or looked otherwise. */
async function removeOthers(folder: string, keys: ReadonlySet<string>): Promise<void> {
  for (const key of await readdir(join(folder, root)).catch(() => []))
    if (!keys.has(key)) await rm(join(folder, root, key), { recursive: true, force: true });
}
