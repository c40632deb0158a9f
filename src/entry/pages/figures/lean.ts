import type { ClockResult } from "#documents/chapter-results";

type Placed = ClockResult["recordings"][number];

/** A straight part of a recording's lean: sitting times and the delay at each end, seconds. */
export interface Lean {
  readonly from: number;
  readonly to: number;
  readonly delayFrom: number;
  readonly delayTo: number;
}

/**
 * How far a recording has run from its own start's place, as straight lines: with the clock's rate r in ppm the
 * local time t stands at offset + t (1 + r 10⁻⁶), so it leans t r 10⁻⁶.
 *
 * @returns One line per piece, in order; none where the recording is not placed.
 */
export function leans(recording: Placed): Lean[] {
  if (recording.offset === null || recording.ratePpm === null) return [];
  const offset = recording.offset;
  const pieces =
    recording.pieces && recording.pieces.length > 0
      ? recording.pieces
      : [{ from: 0, offset, ratePpm: recording.ratePpm }];
  return pieces.map((piece, i) => {
    const end = pieces[i + 1]?.from ?? recording.durationSeconds;
    const at = (t: number) => piece.offset + t * (1 + piece.ratePpm * 1e-6);
    return {
      from: at(piece.from),
      to: at(end),
      delayFrom: at(piece.from) - piece.from - offset,
      delayTo: at(end) - end - offset,
    };
  });
}

/** The fitted delay at a sitting time, seconds; the nearest line's where none covers it; null where not placed. */
export function leanAt(recording: Placed, sittingTime: number): number | null {
  const lines = leans(recording);
  const line =
    lines.find((l) => sittingTime >= l.from && sittingTime < l.to) ??
    (sittingTime < (lines[0]?.from ?? 0) ? lines[0] : lines.at(-1));
  if (!line) return null;
  const share = line.to === line.from ? 0 : (sittingTime - line.from) / (line.to - line.from);
  return line.delayFrom + share * (line.delayTo - line.delayFrom);
}
