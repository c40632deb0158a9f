import { useCallback, useEffect, useSyncExternalStore } from "react";

/**
 * The first cut plays in one place at a time: the front, Story or Handover. Whichever of them is in view has the
 * picture; time is shared, so that going from one to the other goes on where it was.
 */
interface State {
  readonly time: number;
  readonly playing: boolean;
  readonly duration: number;
  readonly problem: string;
}

let state: State = { time: 0, playing: false, duration: 0, problem: "" };
let leader: HTMLVideoElement | null = null;
const screens = new Map<HTMLVideoElement, number>();
const others = new Set<HTMLMediaElement>();
const listeners = new Set<() => void>();

function set(change: Partial<State>): void {
  state = { ...state, ...change };
  for (const tell of listeners) tell();
}

/** The screen most in view; the first where none is. */
function mostInView(): HTMLVideoElement | null {
  let best: HTMLVideoElement | null = null;
  let most = -1;
  for (const [screen, share] of screens)
    if (share > most + 0.01) {
      best = screen;
      most = share;
    }
  return best;
}

function place(screen: HTMLVideoElement, time: number): void {
  if (Math.abs(screen.currentTime - time) < 0.02) return;
  screen.currentTime = time;
}

function start(screen: HTMLVideoElement): void {
  for (const other of others) other.pause();
  if (leader && leader !== screen) {
    if (!leader.paused) set({ time: leader.currentTime });
    leader.pause();
  }
  leader = screen;
  place(screen, state.time);
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

function follow(): void {
  if (!leader || leader.paused) return;
  if (leader.currentTime !== state.time) set({ time: leader.currentTime });
  requestAnimationFrame(follow);
}

export const cutPlayer = {
  toggle(): void {
    if (state.playing) {
      leader?.pause();
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
    for (const [screen, share] of screens) if (share > 0 || screen === leader) place(screen, time);
  },
  playFrom(time: number): void {
    cutPlayer.seek(time);
    const screen = mostInView();
    if (screen) start(screen);
  },
  pause(): void {
    leader?.pause();
  },
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

/** Makes a video element one of the screens on which the cut plays. */
export function useScreen(): (screen: HTMLVideoElement | null) => (() => void) | undefined {
  useEffect(() => () => leader?.pause(), []);
  return useCallback((screen: HTMLVideoElement | null) => {
    if (!screen) return;
    screens.set(screen, 0);
    const watcher = new IntersectionObserver(
      ([entry]) => {
        const share = entry?.intersectionRatio ?? 0;
        const came = share > 0 && (screens.get(screen) ?? 0) === 0;
        screens.set(screen, share);
        if (came && screen !== leader && state.time > 0) place(screen, state.time);
        // The picture goes with the reader: a cut that plays out of sight moves to the screen that came into view.
        if (share > 0.6 && leader && leader !== screen && !leader.paused && (screens.get(leader) ?? 0) < 0.1)
          start(screen);
      },
      { threshold: [0, 0.1, 0.35, 0.65, 1] },
    );
    watcher.observe(screen);
    const known = () => {
      if (Number.isFinite(screen.duration)) set({ duration: screen.duration });
      if (state.time > 0 && (screens.get(screen) ?? 0) > 0) place(screen, state.time);
    };
    const plays = () => {
      leader = screen;
      set({ playing: true });
      requestAnimationFrame(follow);
    };
    const stops = () => {
      if (screen === leader) set({ playing: false, time: screen.currentTime });
    };
    screen.addEventListener("loadedmetadata", known);
    screen.addEventListener("play", plays);
    screen.addEventListener("pause", stops);
    screen.addEventListener("ended", stops);
    return () => {
      watcher.disconnect();
      screens.delete(screen);
      screen.removeEventListener("loadedmetadata", known);
      screen.removeEventListener("play", plays);
      screen.removeEventListener("pause", stops);
      screen.removeEventListener("ended", stops);
      if (leader === screen) {
        leader = null;
        set({ playing: false });
      }
    };
  }, []);
}
