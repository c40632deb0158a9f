import { type ClockLine, localTime, referenceTime } from "./line.ts";
import type { Listened } from "./listened.ts";
import { framesPerSecond } from "./onsets.ts";

/** Above its own quietest tenth by this, a recording hears somebody or something, dB. */
const leastAboveFloorDb = 12;

/**
 * Seconds over which two recordings, laid so, both hear somebody speak: had they been made together, their sounds
 * would have something in common there.
 */
export function speakingTogether(a: Listened, aLine: ClockLine, b: Listened, bLine: ClockLine): number {
  const [aLeast, bLeast] = [a, b].map(({ onsets }) => onsets.quietDb + leastAboveFloorDb) as [number, number];
  // Syllables come and go: what counts is the loudest within a quarter of a second.
  const step = Math.round(framesPerSecond / 4);
  let slots = 0;
  for (let first = 0; first + step <= a.onsets.frames; first += step) {
    const t = localTime(bLine, referenceTime(aLine, first / framesPerSecond));
    const other = Math.round(t * framesPerSecond);
    if (other < 0 || other + step > b.onsets.frames) continue;
    if (loudest(a, first, step) > aLeast && loudest(b, other, step) > bLeast) slots++;
  }
  return (slots * step) / framesPerSecond;
}

function loudest({ onsets }: Listened, first: number, frames: number): number {
  let most = -120;
  for (let i = first; i < first + frames; i++) most = Math.max(most, onsets.levelDb[i]!);
  return most;
}
