/** A point of a rising curve. */
export interface Knot {
  readonly from: number;
  readonly to: number;
}

/** Points nearer than this, in code values, are one knot: their difference is noise and not the curve's. */
const oneKnot = 0.015;

/** Neighbouring points as one at their mean, for as long as they lie close or do not rise. */
export function mergeClose(points: readonly Knot[]): Knot[] {
  const groups: { from: number; to: number; n: number }[] = [];
  for (const { from, to } of points) {
    groups.push({ from, to, n: 1 });
    for (let last = groups.length - 1; last > 0; last--) {
      const [p, q] = [groups[last - 1]!, groups[last]!];
      if (q.from - p.from > oneKnot && q.to - p.to > 0.1 * (q.from - p.from)) break;
      const n = p.n + q.n;
      groups.splice(last - 1, 2, {
        from: (p.from * p.n + q.from * q.n) / n,
        to: (p.to * p.n + q.to * q.n) / n,
        n,
      });
    }
  }
  return groups;
}

/** Knots far enough apart and rising, as a curve must. */
export function risingOnly(knots: readonly Knot[]): boolean {
  return knots.every((knot, i) => {
    const before = knots[i - 1];
    return before === undefined || (knot.from - before.from > 1e-4 && knot.to - before.to > 1e-4);
  });
}

/**
 * A rising cubic through knots; outside them it goes on straight, above as steep as between the last two: a knee goes
 * on bending. Source: Fritsch & Carlson 1980, SIAM J. Numer. Anal. 17(2).
 */
export function risingCurve(knots: readonly Knot[]): (x: number) => number {
  const n = knots.length;
  const secants = knots.slice(1).map((knot, i) => (knot.to - knots[i]!.to) / (knot.from - knots[i]!.from));
  const slopes = knots.map((_, i) => {
    const before = secants[i - 1] ?? secants[i] ?? 1;
    const after = secants[i] ?? before;
    const harmonic = (2 * before * after) / (before + after);
    return Math.min(harmonic, 3 * Math.min(before, after));
  });
  return (x) => {
    const first = knots[0]!;
    const last = knots[n - 1]!;
    if (x <= first.from) return first.to + slopes[0]! * (x - first.from);
    if (x >= last.from) return last.to + slopes[n - 1]! * (x - last.from);
    let i = 0;
    while (knots[i + 1]!.from < x) i++;
    const p = knots[i]!;
    const q = knots[i + 1]!;
    const h = q.from - p.from;
    const t = (x - p.from) / h;
    const u = 1 - t;
    return (
      p.to * (1 + 2 * t) * u * u +
      q.to * (3 - 2 * t) * t * t +
      h * t * u * (slopes[i]! * u - slopes[i + 1]! * t)
    );
  };
}
