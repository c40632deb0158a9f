import { useSyncExternalStore } from "react";
import { cutPlayer } from "./cut-player.ts";

/*
 * Hearing a stretch of a sound file by itself: what was folded away, one microphone or the other. One at a time, and
 * never over the cut.
 */

let audio: HTMLAudioElement | null = null;
let until = Number.POSITIVE_INFINITY;
let now = "";
const listeners = new Set<() => void>();

function tell(name: string): void {
  now = name;
  for (const listener of listeners) listener();
}

function element(): HTMLAudioElement {
  if (audio) return audio;
  const made = new Audio();
  audio = made;
  made.preload = "metadata";
  cutPlayer.alsoPlays(made);
  const stop = () => {
    if (made.currentTime >= until) made.pause();
    else if (!made.paused) requestAnimationFrame(stop);
  };
  made.addEventListener("play", () => requestAnimationFrame(stop));
  made.addEventListener("pause", () => tell(""));
  made.addEventListener("ended", () => tell(""));
  return made;
}

/**
 * Plays [from, to) of a file, seconds of its own time; a second call with the same name stops it.
 *
 * @param name - What is heard, for {@link useHeard}.
 */
export function hear(name: string, address: string, from: number, to = Number.POSITIVE_INFINITY): void {
  const sound = element();
  if (now === name) {
    sound.pause();
    return;
  }
  sound.pause();
  cutPlayer.pause();
  until = to;
  const url = new URL(address, location.href).href;
  if (sound.src !== url) sound.src = url;
  sound.currentTime = Math.max(0, from);
  tell(name);
  sound.play().catch(() => tell(""));
}

/** The name of what is heard; "" for nothing. */
export function useHeard(): string {
  return useSyncExternalStore(
    (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    () => now,
  );
}
