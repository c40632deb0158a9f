import { mkdir, stat } from "node:fs/promises";
import { dirname, join } from "node:path";
import { cardsQuestion, cardsVerdict } from "#cards/cards";
import type { ChapterName, ChapterResults } from "#documents/chapter-results";
import type { Finding } from "#documents/finding";
import type { ChapterOnPage, SaidState, SittingPage } from "#documents/page";
import type { Recording } from "#documents/recording";
import type { ProgressNews, TranscriptAnswer } from "#documents/routes";
import type { Change } from "#documents/said";
import type { Sitting } from "#documents/sitting";
import { ExplainedError } from "#errors/explained-error";
import { chapters } from "./chapters.ts";
import { openProxyMaker } from "./proxies.ts";
import { contentKey } from "./result-cache.ts";
import { type RunEvent, type RunOutcome, runSitting } from "./run-sitting.ts";
import { openSaid, type SaidOutcome } from "./said-keeper.ts";
import { insideOf } from "./sitting-store.ts";
import type { Executor } from "./task.ts";
import { openTimeLeft, type TimeLeft } from "./time-left.ts";
import { keepTranscript } from "./transcripts.ts";

/** What of a sitting changed: all that its page shows, only how work goes, or only what is said. */
export type LiveChange = "sitting" | "progress" | "said";

/** A sitting that is open: what the page shows of it, kept up to date while work goes on. */
export interface LiveSitting {
  readonly folder: string;
  page(): SittingPage;
  said(): SaidState;
  progress(): ProgressNews;
  /** Called after every change, a few times a second at most; answers how to stop listening. */
  onChange(listener: (what: LiveChange) => void): () => void;
  /** Makes a change of what is said; what depends on it is measured again at once. */
  say(revision: string, change: Change): Promise<SaidOutcome>;
  undo(revision: string): Promise<SaidOutcome>;
  redo(revision: string): Promise<SaidOutcome>;
  /** Adds files of devices, and places that get copies where there are none yet; what runs is stopped and begun anew. */
  addCards(cards: Sitting["cards"], places: readonly string[]): Promise<void>;
  /**
   * Reads a transcript and keeps it as a file of the sitting. It counts only once it is said.
   *
   * @throws ExplainedError `TRANSCRIPT_INVALID`, or of the disk; nothing is kept then.
   */
  takeTranscript(name: string, bytes: Uint8Array): Promise<TranscriptAnswer>;
  /** Does the main job; a second call while one runs joins it. */
  run(tell?: (event: RunEvent) => void, only?: readonly ChapterName[]): Promise<RunOutcome>;
  /** Stops the run and all other work; resolves once it has stopped. What was finished is kept. */
  cancel(): Promise<void>;
  /**
   * One frame of a recording as a JPEG, by its absolute path.
   *
   * @returns undefined where the sitting has no such recording, or it has no picture.
   * @throws ExplainedError of the reader.
   */
  frame(hash: string, atSeconds: number, maxWidth: number): Promise<string | undefined>;
}

/** How a sitting is kept open. */
export interface LiveWish {
  /** Makes copies that a page can play, once a run has ended. */
  readonly proxies?: boolean;
}

const calmMs = 150;
/** Changes that follow each other faster than this are measured together. */
const settleMs = 250;

interface Shown {
  state: ChapterOnPage["state"];
  verdict: string;
  progress: ChapterOnPage["progress"];
}

const questions: Readonly<Record<ChapterName, string>> = Object.fromEntries([
  ["cards", cardsQuestion],
  ...chapters.map(({ name, question }) => [name, question]),
]) as Record<ChapterName, string>;

/** Every chapter that rests on one, near or far. */
function dependentsOf(name: ChapterName): readonly ChapterName[] {
  const found = new Set<ChapterName>([name]);
  for (const chapter of chapters)
    if (chapter.after.some((before) => found.has(before))) found.add(chapter.name);
  found.delete(name);
  return [...found];
}

/** What is said of a chapter that failed, in the order that every failure is told. */
export const failureText = ({ advice }: ExplainedError): string =>
  `${advice.happened} ${advice.means} ${advice.doNext}`;

const stoppedText = "This was stopped before it was done. Run it again to go on from here.";

/** Findings of a result, in words; Cards carries its own. */
export function findingsOf<Name extends ChapterName>(
  name: Name,
  result: ChapterResults[Name],
): readonly Finding[] {
  const chapter = chapters.find((candidate) => candidate.name === name);
  return chapter ? chapter.findings(result as never) : result.findings;
}

export function verdictOf<Name extends ChapterName>(name: Name, result: ChapterResults[Name]): string {
  const chapter = chapters.find((candidate) => candidate.name === name);
  return chapter ? chapter.verdict(result as never) : cardsVerdict(result as ChapterResults["cards"]);
}

/** More files of a device that is there go to it; a path that is there already is named once. */
function withCards(cards: Sitting["cards"], more: Sitting["cards"]): Sitting["cards"] {
  const joined = cards.map((card) => {
    const added = more.filter(({ device }) => device === card.device).flatMap(({ paths }) => paths);
    return { ...card, paths: [...new Set([...card.paths, ...added])] };
  });
  return [...joined, ...more.filter(({ device }) => !cards.some((card) => card.device === device))];
}

/** @throws ExplainedError of the document. */
export async function openLiveSitting(
  folder: string,
  executor: Executor,
  wish: LiveWish = {},
): Promise<LiveSitting> {
  const keeper = await openSaid(folder);
  const listeners = new Set<(what: LiveChange) => void>();
  const shown = new Map<ChapterName, Shown>(
    (Object.keys(questions) as ChapterName[]).map((name) => [
      name,
      { state: "notBegun", verdict: "Not measured yet.", progress: null },
    ]),
  );
  const timesLeft = new Map<ChapterName, TimeLeft>();
  let recordings: readonly Recording[] = [];
  const results: Partial<ChapterResults> = {};
  let running:
    | {
        readonly work: Promise<RunOutcome>;
        readonly controller: AbortController;
        /** Another run follows at once: what the page shows of work goes on. */
        goesOn: boolean;
      }
    | undefined;
  let again: NodeJS.Timeout | undefined;
  let isClosed = false;

  const due = new Set<LiveChange>();
  let calm: NodeJS.Timeout | undefined;
  const changed = (what: LiveChange): void => {
    due.add(what);
    if (calm) return;
    calm = setTimeout(() => {
      calm = undefined;
      // The whole page says how work goes, too.
      if (due.has("sitting")) due.delete("progress");
      const news = [...due];
      due.clear();
      for (const one of news) for (const listener of listeners) listener(one);
    }, calmMs).unref();
  };
  const proxies = openProxyMaker(folder, executor, (what) =>
    changed(what === "list" ? "sitting" : "progress"),
  );

  const show = (name: ChapterName, what: Partial<Shown>): void => {
    Object.assign(shown.get(name)!, what);
    changed("sitting");
  };
  const drop = (name: ChapterName): void => {
    delete results[name];
  };

  const note = (event: RunEvent): void => {
    const { chapter } = event;
    const entry = shown.get(chapter)!;
    if (event.state !== "working") timesLeft.delete(chapter);
    if (event.state === "opened") {
      recordings = event.recordings;
      changed("sitting");
    } else if (event.state === "working") {
      if (entry.state !== "working") {
        show(chapter, { state: "working" });
        // What rests on it, and is there from before, is about to be another.
        if (chapter !== "cards")
          for (const name of dependentsOf(chapter))
            if (shown.get(name)!.state === "settled")
              show(name, {
                state: "working",
                progress: { done: 0, doing: `waiting for ${chapter}`, secondsLeft: null },
              });
      }
      const timeLeft = timesLeft.get(chapter) ?? openTimeLeft();
      timesLeft.set(chapter, timeLeft);
      entry.progress = { ...event.progress, secondsLeft: timeLeft.at(event.progress.done) };
      changed("progress");
    } else if (event.state === "settled") {
      Object.assign(results, { [chapter]: event.result });
      show(chapter, { state: "settled", verdict: event.verdict, progress: null });
    } else if (event.state === "notBegun") {
      drop(chapter);
      show(chapter, { state: "notBegun", verdict: event.missing, progress: null });
    } else if (event.error.code !== "CANCELLED") {
      drop(chapter);
      show(chapter, { state: "failed", verdict: failureText(event.error), progress: null });
    }
  };

  /** A run that ended without an outcome: stopped, or stopped by something that is no chapter's own. */
  const noteEnd = (error: unknown): void => {
    if (running?.goesOn) return;
    const isOwn = error instanceof ExplainedError && error.code !== "CANCELLED";
    if (isOwn) show("cards", { state: "failed", verdict: failureText(error), progress: null });
    for (const [name, { state }] of shown)
      if (state === "working") show(name, { state: "failed", verdict: stoppedText, progress: null });
    timesLeft.clear();
  };

  const run: LiveSitting["run"] = (tell = () => {}, only) => {
    running ??= (() => {
      const controller = new AbortController();
      const work = (executor.slots < 2 ? proxies.stop() : Promise.resolve())
        .then(() =>
          runSitting({
            folder,
            executor,
            signal: controller.signal,
            ...(only ? { only } : {}),
            tell: (event) => {
              note(event);
              tell(event);
            },
          }),
        )
        .catch((error: unknown) => {
          noteEnd(error);
          throw error;
        })
        .finally(() => {
          running = undefined;
          changed("sitting");
        });
      work.then(
        () => {
          if (wish.proxies && !isClosed) proxies.make({ recordings, results }).catch(() => {});
        },
        () => {},
      );
      changed("sitting");
      return { work, controller, goesOn: false };
    })();
    return running.work;
  };

  const stopRun = async (goesOn: boolean): Promise<void> => {
    const stopped = running;
    if (!stopped) return;
    stopped.goesOn = goesOn;
    stopped.controller.abort();
    await stopped.work.catch(() => {});
  };

  /** Measures again what a change touches: soon, once for changes that come together, in place of a run that goes on. */
  const runAgain = (): void => {
    clearTimeout(again);
    again = setTimeout(() => {
      again = undefined;
      stopRun(true)
        .then(() => run())
        // What went wrong stands in the page by now.
        .catch(() => {});
    }, settleMs);
  };

  const afterSaying = (outcome: SaidOutcome): SaidOutcome => {
    if (outcome.done && outcome.changed) {
      changed("said");
      runAgain();
    }
    return outcome;
  };

  return {
    folder,
    said: keeper.state,
    page: () => {
      const { createdAt } = keeper.sitting();
      const said = keeper.state();
      return {
        ...said,
        title: said.said.title,
        createdAt,
        folder,
        recordings,
        chapters: [...shown].map(([name, entry]): ChapterOnPage => {
          const result = results[name] ?? null;
          return {
            name,
            question: questions[name],
            ...entry,
            result,
            findings: result ? findingsOf(name, result) : [],
          };
        }),
        running: running !== undefined,
        proxies: proxies.list(),
        proxiesProgress: proxies.progress(),
      };
    },
    progress: () => ({
      running: running !== undefined,
      chapters: [...shown].map(([name, { state, progress }]) => ({ name, state, progress })),
      proxiesProgress: proxies.progress(),
    }),
    onChange: (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    say: async (revision, change) => afterSaying(await keeper.say(revision, change)),
    undo: async (revision) => afterSaying(await keeper.undo(revision)),
    redo: async (revision) => afterSaying(await keeper.redo(revision)),
    addCards: async (cards, places) => {
      await keeper.amend((sitting) => ({
        ...sitting,
        cards: withCards(sitting.cards, cards),
        places: sitting.cards.length === 0 ? [...places] : sitting.places,
      }));
      changed("sitting");
      await stopRun(true);
      // What goes wrong stands in the page.
      run().catch(() => {});
    },
    takeTranscript: (name, bytes) => keepTranscript(folder, name, bytes, recordings),
    run,
    cancel: async () => {
      isClosed = true;
      clearTimeout(again);
      await Promise.all([stopRun(false), proxies.stop()]);
      isClosed = false;
    },
    frame: async (hash, atSeconds, maxWidth) => {
      const recording = recordings.find((one) => one.hash === hash);
      if (!recording?.probe.picture) return undefined;
      const out = join(folder, "measured", "frames", `${contentKey([hash, atSeconds, maxWidth])}.jpg`);
      if (await stat(out).catch(() => undefined)) return out;
      await mkdir(dirname(out), { recursive: true });
      const path = insideOf(folder, recording.path);
      await executor.run(
        { kind: "frame", path, out, atSeconds, maxWidth },
        () => {},
        AbortSignal.timeout(60_000),
      );
      return out;
    },
  };
}
