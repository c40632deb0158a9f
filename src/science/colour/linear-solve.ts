/**
 * Solves the square system `a · x = b` by Gaussian elimination with partial pivoting.
 *
 * @param a - n rows of n numbers; not changed.
 * @param b - n numbers; not changed.
 * @returns x, or null where the system has no single answer.
 */
export function solveLinear(a: readonly (readonly number[])[], b: readonly number[]): number[] | null {
  const n = b.length;
  const rows = a.map((row, i) => [...row, b[i]!]);
  const largest = Math.max(...rows.flat().map(Math.abs), 1e-300);
  for (let column = 0; column < n; column++) {
    let pivot = column;
    for (let r = column + 1; r < n; r++) {
      if (Math.abs(rows[r]![column]!) > Math.abs(rows[pivot]![column]!)) pivot = r;
    }
    const top = rows[pivot]!;
    if (Math.abs(top[column]!) < 1e-13 * largest) return null;
    rows[pivot] = rows[column]!;
    rows[column] = top;
    for (let r = column + 1; r < n; r++) {
      const row = rows[r]!;
      const factor = row[column]! / top[column]!;
      if (factor === 0) continue;
      for (let k = column; k <= n; k++) row[k] = row[k]! - factor * top[k]!;
    }
  }
  const x = new Array<number>(n).fill(0);
  for (let r = n - 1; r >= 0; r--) {
    const row = rows[r]!;
    let sum = row[n]!;
    for (let k = r + 1; k < n; k++) sum -= row[k]! * x[k]!;
    x[r] = sum / row[r]!;
  }
  return x;
}

/**
 * Least squares by the normal equations: the `x` for which `rows · x` is nearest to `wanted`.
 *
 * @param rows - m rows of n numbers, m at least n.
 * @param ridge - Added to the diagonal: how dear it is for x to leave zero. 0: plain least squares.
 * @returns x, or null where the rows do not determine it.
 */
export function leastSquares(
  rows: readonly (readonly number[])[],
  wanted: readonly number[],
  ridge = 0,
): number[] | null {
  const n = rows[0]?.length ?? 0;
  const normal = Array.from({ length: n }, () => new Array<number>(n).fill(0));
  const right = new Array<number>(n).fill(0);
  rows.forEach((row, m) => {
    for (let i = 0; i < n; i++) {
      right[i] = right[i]! + row[i]! * wanted[m]!;
      for (let j = 0; j < n; j++) normal[i]![j] = normal[i]![j]! + row[i]! * row[j]!;
    }
  });
  for (let i = 0; i < n; i++) normal[i]![i] = normal[i]![i]! + ridge;
  return solveLinear(normal, right);
}
