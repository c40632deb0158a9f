import { useMemo, useSyncExternalStore } from "react";
import { applyChange } from "#documents/apply-change";
import type { SaidState, SittingPage } from "#documents/page";
import type { ProgressNews } from "#documents/routes";
import type { Change, Said } from "#documents/said";
import { keepUnchanged } from "./keep-unchanged.ts";

/** How the page stands with the program behind it. */
export interface Line {
  readonly state: "first" | "live" | "lost";
  /** Why, in a sentence; only when lost. */
  readonly why: string;
  /** When the next try is made, ms since 1970; only when lost. */
  readonly nextTry: number;
}

/** All that the page holds: the sitting as the server told it last, and what is said here but not yet kept there. */
export interface Held {
  readonly page: SittingPage | null;
  readonly line: Line;
  /** Changes made here that the server has not answered yet, oldest first. */
  readonly waiting: readonly Change[];
  /** What the reader must know of a change that was not made; "" for nothing. */
  readonly notice: string;
}

let held: Held = { page: null, line: { state: "first", why: "", nextTry: 0 }, waiting: [], notice: "" };
const listeners = new Set<() => void>();

export function readHeld(): Held {
  return held;
}

export function setHeld(change: Partial<Held>): void {
  held = { ...held, ...change };
  for (const tell of listeners) tell();
}

export function holdPage(fresh: SittingPage): void {
  setHeld({ page: keepUnchanged(held.page, fresh) });
}

export function holdSaid(state: SaidState): void {
  if (held.page)
    setHeld({ page: keepUnchanged(held.page, { ...held.page, ...pick(state), title: state.said.title }) });
}

export function holdProgress(news: ProgressNews): void {
  if (!held.page) return;
  setHeld({
    page: {
      ...held.page,
      running: news.running,
      proxiesProgress: news.proxiesProgress,
      chapters: held.page.chapters.map((chapter) => {
        const now = news.chapters.find(({ name }) => name === chapter.name);
        return now ? { ...chapter, state: now.state, progress: now.progress } : chapter;
      }),
    },
  });
}

function pick({ revision, said, undo, redo }: SaidState): SaidState {
  return { revision, said, undo, redo };
}

function subscribe(tell: () => void): () => void {
  listeners.add(tell);
  return () => listeners.delete(tell);
}

export function useHeld(): Held {
  return useSyncExternalStore(subscribe, readHeld);
}

/** What is said, with what is on its way to be kept; null before the first answer. */
export function useSaid(): Said | null {
  const { page, waiting } = useHeld();
  return useMemo(() => (page ? waiting.reduce(applyChange, page.said) : null), [page, waiting]);
}
