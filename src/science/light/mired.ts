/** Reciprocal megakelvin of a colour temperature: 10⁶ / K. */
export const miredOf = (kelvin: number): number => 1e6 / kelvin;

/** Shift, mired, that turns one colour temperature into another: + warms. */
export const miredShift = (fromKelvin: number, toKelvin: number): number =>
  miredOf(toKelvin) - miredOf(fromKelvin);

/** Full correction: 5600 K to 3200 K. */
const full = miredShift(5600, 3200);

/** Gels are cut as parts of the full correction; names and parts are common practice. */
const parts = [
  ["full", 1],
  ["three-quarter", 0.75],
  ["half", 0.5],
  ["quarter", 0.25],
  ["eighth", 0.125],
] as const;

/** A gel by the part of a full correction that it makes. */
export interface Gel {
  /** Mired; + warms. */
  readonly shift: number;
  /** "half orange", "quarter blue". */
  readonly name: string;
  /** What is left after it, mired. */
  readonly left: number;
}

/**
 * The gel that comes nearest to a shift.
 *
 * @param shift - Wanted, mired; + warms (orange), - cools (blue).
 * @returns Null where no gel at all comes nearer.
 */
export function gelFor(shift: number): Gel | null {
  let best: Gel | null = null;
  for (const [name, part] of parts) {
    const own = Math.sign(shift) * part * full;
    if (Math.abs(shift - own) < Math.abs(best ? best.left : shift))
      best = { shift: own, name: `${name} ${shift > 0 ? "orange" : "blue"}`, left: shift - own };
  }
  return best;
}
