import type { Placement } from "#science/placement/placement";

/** A stretch of one recording whose local and sitting time are tied by one straight line. Ranges [start, end). */
export interface Span {
  readonly localStart: number;
  readonly localEnd: number;
  readonly offset: number;
  readonly ratePpm: number;
}

export const slope = (ratePpm: number): number => 1 + ratePpm * 1e-6;

/** Sitting time of a local time on the span's line. */
export function sittingTimeOf(span: Span, local: number): number {
  return span.offset + local * slope(span.ratePpm);
}

/** Local time of a sitting time on the span's line. */
export function localTimeOf(span: Span, sitting: number): number {
  return (sitting - span.offset) / slope(span.ratePpm);
}

/** The straight stretches of a recording from local time `localStart` to `localEnd`, in order. */
export function spansOf(placement: Placement, localStart: number, localEnd: number): Span[] {
  const pieces = [...(placement.pieces ?? [])].sort((a, b) => a.from - b.from);
  if (pieces.length === 0 || pieces[0]!.from > localStart) {
    pieces.unshift({ from: localStart, offset: placement.offset, ratePpm: placement.ratePpm });
  }
  return pieces
    .map((piece, i) => ({
      localStart: Math.max(localStart, piece.from),
      localEnd: Math.min(localEnd, pieces[i + 1]?.from ?? localEnd),
      offset: piece.offset,
      ratePpm: piece.ratePpm,
    }))
    .filter((span) => span.localEnd > span.localStart);
}
