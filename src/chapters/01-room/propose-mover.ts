import type { Plan } from "#documents/plan";

/** Where the two sit as the movers of other things need it. */
export interface Seats {
  /** The sitter's head, metres. */
  x: number;
  y: number;
  /** Heading of the sitter's look, degrees. */
  gaze: number;
  /** Cameras clockwise of the gaze from above: 1; anticlockwise: -1. */
  side: 1 | -1;
}

/** One thing's numbers. */
export interface Mover {
  /** Least and most of each. */
  readonly bounds: readonly (readonly [number, number])[];
  /** One for each of the bounds; NaN: no habit. Common practice. */
  readonly usual: readonly number[];
  /** Writes the thing into the draft from its numbers, which begin at `x[at]`. */
  place(x: Float64Array, at: number, draft: Plan, seats: Seats): void;
}

/** Rounded as a tape is read, metres. */
export const centimetres = (metres: number): number => Math.round(metres * 100) / 100;
