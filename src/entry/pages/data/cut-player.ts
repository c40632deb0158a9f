import { useCallback, useEffect, useSyncExternalStore } from "react";
import type { Deck } from "./deck.ts";

/**
 * The first cut plays in one place at a time: the front, Story or Handover. Whichever of them is in view has the
 * picture; time is shared, so that going from one to the other goes on where it was.
 */
interface State {
  readonly time: number;
  /** From the press on, though the first picture and the sound may still be on their way. */
  readonly playing: boolean;
  readonly duration: number;
  readonly problem: string;
}

let state: State = { time: 0, playing: false, duration: 0, problem: "" };
let leader: Deck | null = null;
const screens = new Map<Deck, number>();
const others = new Set<HTMLMediaElement>();
const listeners = new Set<() => void>();

function set(change: Partial<State>): void {
  state = { ...state, ...change };
  for (const tell of listeners) tell();
}

/** How much of a screen is in view, 0..1; where nothing is, how far off it is, in pixels, below zero. Not laid out: never. */
function inView({ element }: Deck): number {
  const { top, bottom, height } = element.getBoundingClientRect();
  if (height === 0) return Number.NEGATIVE_INFINITY;
  const seen = Math.min(bottom, innerHeight) - Math.max(top, 0);
  return seen > 0 ? seen / height : seen;
}

/** The screen most in view at this moment, which the watchers may not have told yet; the nearest where none is. */
function mostInView(): Deck | null {
  let best: Deck | null = null;
  let most = Number.NEGATIVE_INFINITY;
  for (const screen of screens.keys()) {
    const share = inView(screen);
    if (!best || share > most + 0.01) {
      best = screen;
      most = share;
    }
  }
  return best;
}

function start(screen: Deck): void {
  for (const other of others) other.pause();
  if (leader && leader !== screen) {
    if (leader.isPlaying()) set({ time: leader.now() });
    leader.pause();
  }
  leader = screen;
  set({ playing: true });
  screen.place(state.time);
  screen.play().then(
    () => set({ problem: "" }),
    (error: unknown) => {
      if (error instanceof DOMException && error.name === "AbortError") return;
      set({
        playing: false,
        problem: "This browser cannot play the cut. The file itself is among those handed over.",
      });
    },
  );
}

/** What has not begun yet says nothing when it is stopped. */
function stop(): void {
  leader?.pause();
  if (!leader?.isPlaying()) set({ playing: false });
}

function follow(): void {
  if (!leader?.isPlaying()) return;
  const now = leader.now();
  if (now !== state.time) set({ time: now });
  requestAnimationFrame(follow);
}

export const cutPlayer = {
  toggle(): void {
    if (state.playing) {
      stop();
      return;
    }
    const screen = mostInView();
    if (!screen) return;
    if (state.duration > 0 && state.time >= state.duration - 0.05) set({ time: 0 });
    start(screen);
  },
  /** Goes to a program time, in seconds; plays on where it played. */
  seek(time: number): void {
    set({ time });
    for (const [screen, share] of screens) if (share > 0 || screen === leader) screen.place(time);
  },
  playFrom(time: number): void {
    cutPlayer.seek(time);
    const screen = mostInView();
    if (!screen) return;
    // Whoever presses a picture to see it play is shown where it plays.
    if (inView(screen) < 0.1) screen.element.scrollIntoView({ block: "nearest" });
    start(screen);
  },
  pause: stop,
  /** A sound that must not play over the cut. */
  alsoPlays(media: HTMLMediaElement): () => void {
    others.add(media);
    return () => others.delete(media);
  },
};

function subscribe(tell: () => void): () => void {
  listeners.add(tell);
  return () => listeners.delete(tell);
}

export function useCutTime(): number {
  return useSyncExternalStore(subscribe, () => state.time);
}
/** Something worked out from the time that changes less often than it: the component is drawn again only then. */
export function useCutTimeAs<T extends string | number | boolean>(of: (time: number) => T): T {
  return useSyncExternalStore(subscribe, () => of(state.time));
}
export function useCutPlays(): boolean {
  return useSyncExternalStore(subscribe, () => state.playing);
}
export function useCutDuration(): number {
  return useSyncExternalStore(subscribe, () => state.duration);
}
export function useCutProblem(): string {
  return useSyncExternalStore(subscribe, () => state.problem);
}

/** The program time now, without listening to it. */
export function cutTime(): number {
  return state.time;
}

/** Makes a deck one of the screens on which the cut plays, while the component lives. */
export function useScreen(): (deck: Deck) => () => void {
  useEffect(() => () => leader?.pause(), []);
  return useCallback((deck: Deck) => {
    screens.set(deck, 0);
    const watcher = new IntersectionObserver(
      ([entry]) => {
        const share = entry?.intersectionRatio ?? 0;
        const came = share > 0 && (screens.get(deck) ?? 0) === 0;
        screens.set(deck, share);
        if (came && deck !== leader && state.time > 0) deck.place(state.time);
        // The picture goes with the reader: a cut that plays out of sight moves to the screen that came into view.
        if (
          share > 0.6 &&
          leader &&
          leader !== deck &&
          leader.isPlaying() &&
          (screens.get(leader) ?? 0) < 0.1
        )
          start(deck);
      },
      { threshold: [0, 0.1, 0.35, 0.65, 1] },
    );
    watcher.observe(deck.element);
    const forget = deck.listen({
      known: () => {
        if (deck.duration() > 0) set({ duration: deck.duration() });
        // Where another cut took the place of the old one, the deck knows where it goes on.
        if (deck === leader) set({ time: deck.now() });
        else if (state.time > 0 && (screens.get(deck) ?? 0) > 0) deck.place(state.time);
      },
      plays: () => {
        leader = deck;
        set({ playing: true });
        requestAnimationFrame(follow);
      },
      stops: () => {
        if (deck === leader) set({ playing: false, time: deck.now() });
      },
    });
    return () => {
      watcher.disconnect();
      screens.delete(deck);
      forget();
      if (leader === deck) {
        leader = null;
        set({ playing: false });
      }
    };
  }, []);
}
