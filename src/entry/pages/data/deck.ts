/** Something that plays the cut: the rendered file, or the small copies of the recordings one after the other. */
export interface Deck {
  /** What the reader looks at. */
  readonly element: HTMLElement;
  /** Program time, seconds. */
  now(): number;
  duration(): number;
  isPlaying(): boolean;
  place(time: number): void;
  play(): Promise<void>;
  pause(): void;
  /** Answers how to stop listening. */
  listen(told: { plays(): void; stops(): void; known(): void }): () => void;
}

/** The rendered first cut in a video element. */
export function fileDeck(video: HTMLVideoElement): Deck {
  return {
    element: video,
    now: () => video.currentTime,
    duration: () => (Number.isFinite(video.duration) ? video.duration : 0),
    isPlaying: () => !video.paused,
    place: (time) => {
      if (Math.abs(video.currentTime - time) >= 0.02) video.currentTime = time;
    },
    play: () => video.play(),
    pause: () => video.pause(),
    listen: ({ plays, stops, known }) => {
      const events = [
        ["play", plays],
        ["pause", stops],
        ["ended", stops],
        ["loadedmetadata", known],
      ] as const;
      for (const [name, told] of events) video.addEventListener(name, told);
      return () => {
        for (const [name, told] of events) video.removeEventListener(name, told);
      };
    },
  };
}
