/** A range of time, seconds, [start, end). */
export interface TimeStretch {
  readonly start: number;
  readonly end: number;
}

/**
 * Stretches of speech from the probability of speech in consecutive windows.
 *
 * A stretch opens at `open` and closes where the probability stays below `close` for `minGapSeconds`: two
 * thresholds, so that one doubtful window neither opens nor closes anything. Thresholds 0.5 and 0.35 are those
 * the model's authors publish with it; the gap and the least length are common practice.
 *
 * @param probability - One value 0..1 a window.
 * @param windowSeconds - Length of a window, seconds.
 * @returns Ranges in order, not touching, in seconds from the first window's start.
 */
export function speechStretches(
  probability: Float32Array,
  windowSeconds: number,
  wish: { open?: number; close?: number; minGapSeconds?: number; minSeconds?: number } = {},
): TimeStretch[] {
  const { open = 0.5, close = 0.35, minGapSeconds = 0.19, minSeconds = 0.12 } = wish;
  const found: { start: number; end: number }[] = [];
  let start = -1;
  for (let i = 0; i <= probability.length; i++) {
    const p = i < probability.length ? probability[i]! : 0;
    if (start < 0 && p >= open) start = i;
    else if (start >= 0 && p < close) {
      found.push({ start: start * windowSeconds, end: i * windowSeconds });
      start = -1;
    }
  }
  const joined: { start: number; end: number }[] = [];
  for (const stretch of found) {
    const last = joined.at(-1);
    if (last && stretch.start - last.end < minGapSeconds) last.end = stretch.end;
    else joined.push({ ...stretch });
  }
  return joined.filter(({ start: s, end }) => end - s >= minSeconds - 1e-9);
}

/** What is left of `ranges` when `holes` are taken out; both in order. Pieces shorter than `minSeconds` go. */
export function stretchesWithout(
  ranges: readonly TimeStretch[],
  holes: readonly TimeStretch[],
  minSeconds = 0,
): TimeStretch[] {
  const left: TimeStretch[] = [];
  for (const range of ranges) {
    let from = range.start;
    for (const hole of holes) {
      if (hole.end <= from || hole.start >= range.end) continue;
      if (hole.start > from) left.push({ start: from, end: hole.start });
      from = Math.max(from, hole.end);
    }
    if (from < range.end) left.push({ start: from, end: range.end });
  }
  return left.filter(({ start, end }) => end - start > minSeconds);
}
