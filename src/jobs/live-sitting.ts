import { cardsQuestion, cardsVerdict } from "#cards/cards";
import type { ChapterName, ChapterResults } from "#documents/chapter-results";
import type { Finding } from "#documents/finding";
import type { ChapterOnPage, SittingPage } from "#documents/page";
import type { Recording } from "#documents/recording";
import type { ExplainedError } from "#errors/explained-error";
import { chapters } from "./chapters.ts";
import { type RunEvent, type RunOutcome, runSitting } from "./run-sitting.ts";
import { readSitting } from "./sitting-store.ts";
import type { Executor } from "./task.ts";

/** A sitting that is open: what the page shows of it, kept up to date while work goes on. */
export interface LiveSitting {
  readonly folder: string;
  page(): SittingPage;
  /** Called after every change, a few times a second at most; answers how to stop listening. */
  onChange(listener: () => void): () => void;
  /** Does the main job; a second call while one runs joins it. */
  run(tell?: (event: RunEvent) => void, only?: readonly ChapterName[]): Promise<RunOutcome>;
  cancel(): void;
}

const calmMs = 150;

interface Shown {
  state: ChapterOnPage["state"];
  verdict: string;
  progress: ChapterOnPage["progress"];
}

const questions: Readonly<Record<ChapterName, string>> = Object.fromEntries([
  ["cards", cardsQuestion],
  ...chapters.map(({ name, question }) => [name, question]),
]) as Record<ChapterName, string>;

/** What is said of a chapter that failed, in the order that every failure is told. */
export const failureText = ({ advice }: ExplainedError): string =>
  `${advice.happened} ${advice.means} ${advice.doNext}`;

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

export async function openLiveSitting(folder: string, executor: Executor): Promise<LiveSitting> {
  const sitting = await readSitting(folder);
  const listeners = new Set<() => void>();
  const shown = new Map<ChapterName, Shown>(
    (Object.keys(questions) as ChapterName[]).map((name) => [
      name,
      { state: "notBegun", verdict: "Not measured yet.", progress: null },
    ]),
  );
  let recordings: readonly Recording[] = [];
  const results: Partial<ChapterResults> = {};
  let running: { work: Promise<RunOutcome>; controller: AbortController } | undefined;
  let due: NodeJS.Timeout | undefined;

  const changed = (): void => {
    if (due !== undefined) return;
    due = setTimeout(() => {
      due = undefined;
      for (const listener of listeners) listener();
    }, calmMs);
  };

  const note = (event: RunEvent): void => {
    const entry = shown.get(event.chapter)!;
    if (event.state === "opened") recordings = event.recordings;
    else if (event.state === "working") Object.assign(entry, { state: "working", progress: event.progress });
    else if (event.state === "settled") {
      Object.assign(results, { [event.chapter]: event.result });
      Object.assign(entry, { state: "settled", verdict: event.verdict, progress: null });
    } else if (event.state === "failed")
      Object.assign(entry, { state: "failed", verdict: failureText(event.error), progress: null });
    else Object.assign(entry, { state: "notBegun", verdict: event.missing, progress: null });
    changed();
  };

  return {
    folder,
    page: () => ({
      title: sitting.title,
      createdAt: sitting.createdAt,
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
    }),
    onChange: (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    run: (tell = () => {}, only) => {
      running ??= (() => {
        const controller = new AbortController();
        const work = runSitting({
          folder,
          executor,
          signal: controller.signal,
          ...(only ? { only } : {}),
          tell: (event) => {
            note(event);
            tell(event);
          },
        }).finally(() => {
          running = undefined;
          changed();
        });
        return { work, controller };
      })();
      return running.work;
    },
    cancel: () => running?.controller.abort(),
  };
}
