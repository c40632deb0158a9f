import { mkdir, rm } from "node:fs/promises";
import { basename, join } from "node:path";
import type { SittingView } from "#documents/chapter";
import type { CardsResult, ChapterName, ChapterResults } from "#documents/chapter-results";
import type { Finding } from "#documents/finding";
import type { Recording } from "#documents/recording";
import type { Sitting } from "#documents/sitting";
import { ExplainedError } from "#errors/explained-error";
import { lockForWriting } from "#outside/disk/lock";
import { sweepParts } from "#outside/disk/sweep";
import { type AnyChapter, chapters, type MeasuredName } from "./chapters.ts";
import { type CopiedFile, copyCards } from "./copy-cards.ts";
import { isMediaName } from "./media-names.ts";
import { pruneRemembered, rememberedAnswer } from "./remembered.ts";
import {
  keepResult,
  openWork,
  pruneResults,
  readKept,
  relink,
  resultFolder,
  resultKey,
  sweepWork,
} from "./result-cache.ts";
import { insideOf, readSitting, shownPath } from "./sitting-store.ts";
import type { Executor, ProbeAnswer, Progress } from "./task.ts";

/** What the runner tells of each chapter while it works. */
export type RunEvent =
  | { readonly chapter: ChapterName; readonly state: "working"; readonly progress: Progress }
  | {
      readonly chapter: ChapterName;
      readonly state: "settled";
      readonly result: ChapterResults[ChapterName];
      readonly verdict: string;
      readonly fromBefore: boolean;
    }
  | { readonly chapter: "cards"; readonly state: "opened"; readonly recordings: readonly Recording[] }
  | { readonly chapter: ChapterName; readonly state: "notBegun"; readonly missing: string }
  | { readonly chapter: ChapterName; readonly state: "failed"; readonly error: ExplainedError };

export interface RunOutcome {
  readonly sitting: Sitting;
  readonly recordings: readonly Recording[];
  readonly results: Partial<ChapterResults>;
  /** For a chapter that has no result: why. */
  readonly missing: Partial<Record<ChapterName, string>>;
  readonly failed: Partial<Record<ChapterName, ExplainedError>>;
}

export interface RunWish {
  readonly folder: string;
  readonly executor: Executor;
  readonly tell: (event: RunEvent) => void;
  readonly signal: AbortSignal;
  /** Only these chapters and what they need; all that have their inputs where not given. */
  readonly only?: readonly ChapterName[];
}

/**
 * The main job: copies the cards, then measures every chapter that has its inputs, as many at once as the executor
 * takes. What was measured before from the same content is not measured again.
 *
 * @throws ExplainedError of Cards or of the document; a chapter's own failure is in `failed`, and what does not need
 *   that chapter goes on.
 */
export async function runSitting(wish: RunWish): Promise<RunOutcome> {
  const lock = await lockForWriting(wish.folder);
  try {
    await sweepWork(wish.folder);
    await sweepParts(wish.folder);
    await pruneRemembered(wish.folder);
    const sitting = await readSitting(wish.folder);
    if (sitting.cards.length === 0) {
      // Planned, not filmed yet: what rests on the plan alone is measured.
      const missing = "No recordings yet. Add them once the cards are filled.";
      wish.tell({ chapter: "cards", state: "opened", recordings: [] });
      wish.tell({ chapter: "cards", state: "notBegun", missing });
      const planned = await measureAll({ sitting, recordings: [], results: {} }, [], wish);
      return { ...planned, missing: { ...planned.missing, cards: missing } };
    }
    const cards = await copy(sitting, wish);
    const recordings = await identify(cards.files, sitting, wish);
    const result: CardsResult = { ...cards, findings: [...cards.findings, ...recordings.findings] };
    wish.tell({ chapter: "cards", state: "opened", recordings: recordings.known });
    wish.tell({
      chapter: "cards",
      state: "settled",
      result,
      verdict: cards.verdict,
      fromBefore: cards.fromBefore,
    });
    const said = withMaster(sitting, recordings.known);
    return await measureAll(
      {
        sitting: said,
        recordings: recordings.known,
        results: { cards: result },
        verdicts: { cards: cards.verdict },
      },
      cards.files,
      wish,
    );
  } finally {
    await lock.release();
  }
}

async function copy(sitting: Sitting, { folder, tell, signal }: RunWish): ReturnType<typeof copyCards> {
  await mkdir(join(folder, "measured"), { recursive: true });
  return await copyCards(
    {
      cards: sitting.cards.map(({ device, paths }) => ({
        device,
        paths: paths.map((path) => insideOf(folder, path)),
      })),
      places: sitting.places.map((place) => ({ name: place, folder: insideOf(folder, place) })),
      record: join(folder, "measured", "cards.json"),
      displayPath: (path) => shownPath(folder, path),
    },
    (done, doing) => tell({ chapter: "cards", state: "working", progress: { done, doing } }),
    signal,
  );
}

/** Raise it when a probe would answer otherwise. */
const probeVersion = 1;

/** Probes every copied file that is media, in the executor: a broken file cannot take us down. */
async function identify(
  files: readonly CopiedFile[],
  sitting: Sitting,
  { folder, executor, tell, signal }: RunWish,
): Promise<{ known: Recording[]; findings: Finding[] }> {
  const media = files.filter((file) => isMediaName(file.path));
  const findings: Finding[] = [];
  let probed = 0;
  const known = await Promise.all(
    media.map(async (file): Promise<Recording | undefined> => {
      const card = sitting.cards.find(({ device }) => device === file.device)!;
      try {
        const { probe, readableSeconds } = await rememberedAnswer(
          folder,
          `probe-${probeVersion}`,
          file.hash,
          () =>
            executor.run<ProbeAnswer>({ kind: "probe", path: insideOf(folder, file.path) }, () => {}, signal),
        );
        tell({
          chapter: "cards",
          state: "working",
          progress: { done: ++probed / media.length, doing: "looking into the files" },
        });
        if (readableSeconds !== undefined)
          findings.push(cutShort(file.path, probe.durationSeconds, readableSeconds));
        const roles = sitting.roles
          .filter((said) => said.device === file.device && said.file === basename(file.path))
          .map(({ channel, role }) => ({ channel, role }));
        return {
          hash: file.hash,
          path: file.path,
          device: file.device,
          kind: card.kind,
          roles,
          probe,
          ...(readableSeconds === undefined ? {} : { readableSeconds }),
        };
      } catch (error) {
        if (!(error instanceof ExplainedError) || error.blame === "ours" || error.code === "CANCELLED")
          throw error;
        findings.push(unreadable(file.path, error));
        return undefined;
      }
    }),
  );
  return { known: known.filter((recording) => recording !== undefined), findings };
}

/** A master named by its file becomes a master known by its content. */
function withMaster(sitting: Sitting, recordings: readonly Recording[]): Sitting {
  const named = sitting.decisions.masterFile;
  const found = recordings.find(
    ({ device, path }) => device === named?.device && basename(path) === named.file,
  );
  return found ? { ...sitting, decisions: { ...sitting.decisions, master: found.hash } } : sitting;
}

const minutes = (seconds: number): string =>
  `${Math.floor(seconds / 60)}:${String(Math.floor(seconds % 60)).padStart(2, "0")}`;

const cutShort = (path: string, claimed: number, readable: number): Finding => ({
  code: "cards.cut-short",
  weight: "warn",
  says: `${path} can be read up to ${minutes(readable)} of ${minutes(claimed)}.`,
  remedy:
    "It is used that far. Copy it from the card again; if it stops at the same place, the card holds no more.",
  evidence: {
    where: path,
    from: readable,
    to: claimed,
    figure: `${(claimed - readable).toFixed(1)} s missing`,
  },
});

const unreadable = (path: string, { advice }: ExplainedError): Finding => ({
  code: "cards.unreadable",
  weight: "stop",
  says: advice.happened,
  remedy: `${advice.means} ${advice.doNext}`,
  evidence: { where: path },
});

/** Measures in the order of need, everything at once that can be. */
async function measureAll(
  view: SittingView,
  files: readonly CopiedFile[],
  wish: RunWish,
): Promise<RunOutcome> {
  const results: Partial<ChapterResults> = { ...view.results };
  const verdicts: Partial<Record<ChapterName, string>> = { ...view.verdicts };
  const missing: Partial<Record<ChapterName, string>> = {};
  const failed: Partial<Record<ChapterName, ExplainedError>> = {};
  const locations = Object.fromEntries(files.map(({ hash, path }) => [hash, insideOf(wish.folder, path)]));
  const asked = chaptersFor(wish.only);
  const settled = new Map<ChapterName, Promise<void>>([["cards", Promise.resolve()]]);
  for (const chapter of asked) {
    const turn = async (): Promise<void> => {
      await Promise.all(chapter.after.map((name) => settled.get(name)));
      const inputs = chapter.inputs({ ...view, results: { ...results }, verdicts: { ...verdicts } });
      if ("missing" in inputs) {
        missing[chapter.name] = inputs.missing;
        wish.tell({ chapter: chapter.name, state: "notBegun", missing: inputs.missing });
        return;
      }
      try {
        const { result, fromBefore } = await measureOne(chapter, inputs, locations, view.recordings, wish);
        Object.assign(results, { [chapter.name]: result });
        const verdict = chapter.verdict(result);
        verdicts[chapter.name] = verdict;
        wish.tell({
          chapter: chapter.name,
          state: "settled",
          result,
          verdict,
          fromBefore,
        });
      } catch (error) {
        if (!(error instanceof ExplainedError)) throw error;
        failed[chapter.name] = error;
        wish.tell({ chapter: chapter.name, state: "failed", error });
      }
    };
    settled.set(chapter.name, turn());
  }
  await Promise.all(settled.values());
  const stopped = Object.values(failed).find((error) => error.code === "CANCELLED");
  if (stopped) throw stopped;
  return { sitting: view.sitting, recordings: view.recordings, results, missing, failed };
}

/** The asked chapters and all they come after, in the order of the job. */
function chaptersFor(only: readonly ChapterName[] | undefined): readonly AnyChapter[] {
  if (!only) return chapters;
  const wanted = new Set<ChapterName>();
  const want = (name: ChapterName): void => {
    wanted.add(name);
    for (const before of chapters.find((chapter) => chapter.name === name)?.after ?? []) want(before);
  };
  only.forEach(want);
  return chapters.filter((chapter) => wanted.has(chapter.name));
}

async function measureOne(
  chapter: AnyChapter,
  inputs: object,
  locations: Readonly<Record<string, string>>,
  recordings: readonly Recording[],
  { folder, executor, tell, signal }: RunWish,
): Promise<{ result: ChapterResults[MeasuredName]; fromBefore: boolean }> {
  const key = resultKey(chapter.name, chapter.version, inputs);
  const pathOf = new Map(recordings.map(({ hash, path }) => [hash, path]));
  const kept = await readKept(folder, chapter.name, key);
  if (kept) return { result: relink(kept, (hash) => pathOf.get(hash)), fromBefore: true };
  const work = await openWork(folder);
  const handOn = chapter.name === "handover" ? "handover" : resultFolder(chapter.name, key);
  try {
    const result = await executor.run<ChapterResults[MeasuredName]>(
      {
        kind: "measure",
        chapter: chapter.name,
        inputs,
        locations,
        folders: { sitting: folder, work, workWillBe: handOn },
      },
      (progress) => tell({ chapter: chapter.name, state: "working", progress }),
      signal,
    );
    await keepResult(folder, chapter.name, key, work, handOn, result);
    await pruneResults(folder, chapter.name, new Set([key]));
    return { result, fromBefore: false };
  } catch (error) {
    await rm(work, { recursive: true, force: true });
    throw error;
  }
}
