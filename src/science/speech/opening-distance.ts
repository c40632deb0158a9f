/**
 * How far two openings are apart: the mean distance between frames along the best alignment of all of `a` with
 * the beginning of `b`, which may be spoken up to a third faster or slower.
 *
 * @param a - Frames of the shorter opening.
 * @param b - Frames of the other; what follows the part that matches costs nothing.
 * @returns Mean Euclidean distance a frame, 0 for the same sound; `Infinity` where either is empty.
 *
 * Source: H. Sakoe and S. Chiba, "Dynamic programming algorithm optimization for spoken word recognition",
 * IEEE Trans. ASSP 26(1), 1978; the open end is common practice.
 */
export function openingDistance(a: readonly Float32Array[], b: readonly Float32Array[]): number {
  const [n, m] = [a.length, b.length];
  if (n === 0 || m === 0) return Number.POSITIVE_INFINITY;
  const reach = Math.max(6, Math.ceil(n * 0.35));
  let previous = new Float64Array(m).fill(Number.POSITIVE_INFINITY);
  for (let i = 0; i < n; i++) {
    const row = new Float64Array(m).fill(Number.POSITIVE_INFINITY);
    for (let j = Math.max(0, i - reach); j <= Math.min(m - 1, i + reach); j++) {
      const before =
        i === 0 && j < 6
          ? 0
          : Math.min(
              previous[j]!,
              j > 0 ? row[j - 1]! : Number.POSITIVE_INFINITY,
              j > 0 ? previous[j - 1]! : Number.POSITIVE_INFINITY,
            );
      row[j] = before + distance(a[i]!, b[j]!);
    }
    previous = row;
  }
  return Math.min(...previous) / n;
}

function distance(x: Float32Array, y: Float32Array): number {
  let sum = 0;
  for (let k = 0; k < x.length; k++) sum += (x[k]! - y[k]!) ** 2;
  return Math.sqrt(sum);
}
