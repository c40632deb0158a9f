import { solveLinear } from "./linear-solve.ts";

/** Where a search ended: the parameters and half the sum of squares there. */
export interface Minimum {
  readonly parameters: number[];
  readonly cost: number;
}

/**
 * Finds parameters that make the sum of squared residuals small, from a start that is not far off.
 *
 * Derivatives are taken by forward differences, so that the caller writes the residuals alone.
 *
 * @param residuals - Always the same number of them, finite at the start.
 * @param start - Not changed.
 *
 * Source: Levenberg 1944, Marquardt 1963; damping scaled by the normal matrix's diagonal.
 */
export function levenbergMarquardt(
  residuals: (parameters: readonly number[]) => ArrayLike<number>,
  start: readonly number[],
  { maxSteps = 60, tolerance = 1e-9 }: { maxSteps?: number; tolerance?: number } = {},
): Minimum {
  const n = start.length;
  let at = [...start];
  let here = residuals(at);
  let cost = halfSquares(here);
  if (n === 0) return { parameters: at, cost };
  let damping = 1e-3;
  for (let step = 0; step < maxSteps; step++) {
    const columns = at.map((value, j) => {
      const h = 1e-6 * Math.max(1e-2, Math.abs(value));
      const moved = [...at];
      moved[j] = value + h;
      const there = residuals(moved);
      return Float64Array.from({ length: here.length }, (_, i) => (there[i]! - here[i]!) / h);
    });
    const gradient = columns.map((column) => dot(column, here));
    const normal = columns.map((a) => columns.map((b) => dot(a, b)));
    let improved = false;
    while (damping < 1e12) {
      const damped = normal.map((row, i) =>
        row.map((value, j) => (i === j ? value + damping * Math.max(value, 1e-9) : value)),
      );
      const move = solveLinear(
        damped,
        gradient.map((g) => -g),
      );
      const next = move && at.map((value, j) => value + move[j]!);
      const there = next && residuals(next);
      const nextCost = there ? halfSquares(there) : Number.NaN;
      if (next && there && nextCost < cost) {
        const gain = (cost - nextCost) / Math.max(cost, 1e-300);
        at = next;
        here = there;
        cost = nextCost;
        damping = Math.max(damping / 5, 1e-9);
        if (gain < tolerance) return { parameters: at, cost };
        improved = true;
        break;
      }
      damping *= 4;
    }
    if (!improved) break;
  }
  return { parameters: at, cost };
}

function halfSquares(values: ArrayLike<number>): number {
  return 0.5 * dot(values, values);
}

function dot(a: ArrayLike<number>, b: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}
