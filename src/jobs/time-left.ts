/*
 * An estimate of the time that a piece of work still takes. It looks at the last stretch of work alone, since parts of
 * one piece go at different speeds, and says nothing until it has seen enough to go by.
 */

/** What the estimate looks back on, seconds. */
const lookBackSeconds = 20;
/** Before this much time and this much progress any figure would be a guess. */
const leastSeconds = 2;
const leastDone = 0.02;

export interface TimeLeft {
  /** Tells how far the work is, 0 to 1; answers seconds left, or null where that cannot be known yet. */
  at(done: number): number | null;
}

/** @param now - Seconds of any clock that does not jump. */
export function openTimeLeft(now: () => number = () => performance.now() / 1000): TimeLeft {
  let seen: { readonly at: number; readonly done: number }[] = [];
  return {
    at(done) {
      const at = now();
      const last = seen.at(-1);
      // Work that begins again, or in another way, begins its estimate again.
      if (last && done < last.done) seen = [];
      seen.push({ at, done });
      // The oldest kept lies just beyond what is looked back on.
      while (seen.length > 2 && seen[1]!.at <= at - lookBackSeconds) seen.shift();
      const first = seen[0]!;
      const [seconds, part] = [at - first.at, done - first.done];
      if (done >= 1) return 0;
      if (seconds < leastSeconds || part < leastDone) return null;
      return ((1 - done) * seconds) / part;
    },
  };
}
