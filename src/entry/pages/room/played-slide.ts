import { useEffect, useMemo, useRef, useState } from "react";

/** A slide that is played: which, and the moment of its way out that is shown. */
export interface PlayedSlide {
  readonly id: string;
  readonly isPlaying: boolean;
  toggle(): void;
  /** null while it does not play. */
  seconds(): number | null;
  subscribe(tell: () => void): () => void;
}

/** A long move is shown in twelve seconds, so that the drift is seen. */
const shownSeconds = 12;

/** Plays a slide. Its moment is told to those who subscribe alone: a frame of it draws nothing else anew. */
export function usePlayedSlide(
  slide: { readonly id: string; readonly seconds: number } | undefined,
): PlayedSlide {
  const at = useRef<number | null>(null);
  const listeners = useRef(new Set<() => void>());
  const [isPlaying, setPlaying] = useState(false);
  const seconds = slide?.seconds ?? 0;
  useEffect(() => {
    if (!isPlaying || seconds === 0) return;
    const tell = (moment: number | null): void => {
      at.current = moment;
      for (const listener of listeners.current) listener();
    };
    const rate = Math.max(1, seconds / shownSeconds);
    let frame = 0;
    const from = performance.now();
    const step = (now: number) => {
      const moment = Math.max(0, Math.min(seconds, ((now - from) / 1000) * rate));
      tell(moment);
      if (moment >= seconds) setPlaying(false);
      else frame = requestAnimationFrame(step);
    };
    frame = requestAnimationFrame(step);
    return () => {
      cancelAnimationFrame(frame);
      tell(null);
    };
  }, [isPlaying, seconds]);
  const id = slide?.id ?? "";
  return useMemo(
    () => ({
      id,
      isPlaying,
      toggle: () => setPlaying((was) => !was),
      seconds: () => at.current,
      subscribe: (tell) => {
        listeners.current.add(tell);
        return () => listeners.current.delete(tell);
      },
    }),
    [id, isPlaying],
  );
}
