import { quantileOf } from "#science/speech/power-meter";
import type { TimeStretch } from "#science/speech/speech-stretches";

/** A break shorter than this belongs to the word (stops such as p, t, k close for about 0.1 s); seconds. */
const leastBreak = 0.18;

/**
 * Divides stretches of speech where the level falls to the room's for a while: a speech detector bridges short
 * breaks, and a false start often hides in one.
 *
 * @param levelDb - Level of the same channel, one value a step.
 * @returns Stretches in order; sound that is left over at the sides of a break stays with its word.
 */
export function splitAtSilence(
  stretches: readonly TimeStretch[],
  levelDb: Float32Array,
  stepSeconds: number,
): TimeStretch[] {
  const floorDb = quantileOf(levelDb, 0.1);
  const pieces: TimeStretch[] = [];
  for (const stretch of stretches) {
    const [first, end] = [Math.round(stretch.start / stepSeconds), Math.round(stretch.end / stepSeconds)];
    const within = levelDb.subarray(first, end);
    // Silence is near the room and far below the speech, whichever asks for more.
    const silentBelow = Math.min(floorDb + 8, quantileOf(within, 0.7) - 18);
    let from = first;
    let quietSince = -1;
    for (let i = first; i <= end; i++) {
      const isQuiet = i < end && (levelDb[i] ?? -120) < silentBelow;
      if (isQuiet && quietSince < 0) quietSince = i;
      if (isQuiet || quietSince < 0) continue;
      if (i < end && (i - quietSince) * stepSeconds >= leastBreak && quietSince > from) {
        pieces.push({ start: from * stepSeconds, end: quietSince * stepSeconds });
        from = i;
      }
      quietSince = -1;
    }
    pieces.push({ start: from * stepSeconds, end: stretch.end });
  }
  return pieces.filter(({ start, end }) => end - start >= 0.08);
}
