import { useCallback } from "react";
import { cutPlayer } from "../data/cut-player.ts";

/** Keeps a media element and the cut from playing over one another. */
export function useAlone(): (media: HTMLMediaElement | null) => (() => void) | undefined {
  return useCallback((media: HTMLMediaElement | null) => {
    if (!media) return;
    const forget = cutPlayer.alsoPlays(media);
    const pause = () => cutPlayer.pause();
    media.addEventListener("play", pause);
    return () => {
      forget();
      media.removeEventListener("play", pause);
    };
  }, []);
}
