/** An even clock laid through edges. */
export interface CellFit {
  /** Place of cell 0, samples. */
  readonly atZero: number;
  /** Samples a cell. */
  readonly perCell: number;
  /** Root mean square of what is left, samples, of the edges that were kept. */
  readonly scatter: number;
}

/**
 * A straight line through edges by least squares, twice: the second time without those that lie further off than
 * three times the median distance (noise moves single edges far).
 *
 * @param cells - Where each edge belongs, in cells.
 * @param places - Where each was found, samples.
 */
export function fitCells(cells: readonly number[], places: readonly number[]): CellFit {
  let fit = line(cells, places, Number.POSITIVE_INFINITY, { atZero: 0, perCell: 0, scatter: 0 });
  for (let round = 0; round < 2; round++) {
    const off = cells
      .map((c, i) => Math.abs(places[i]! - fit.atZero - c * fit.perCell))
      .sort((a, b) => a - b);
    fit = line(cells, places, 4.5 * off[off.length >> 1]! + 1e-9, fit);
  }
  return fit;
}

function line(cells: readonly number[], places: readonly number[], most: number, before: CellFit): CellFit {
  const isKept = (i: number) => Math.abs(places[i]! - before.atZero - cells[i]! * before.perCell) <= most;
  let [count, meanCell, meanPlace] = [0, 0, 0];
  for (let i = 0; i < cells.length; i++)
    if (isKept(i)) {
      count++;
      meanCell += cells[i]!;
      meanPlace += places[i]!;
    }
  meanCell /= count;
  meanPlace /= count;
  let [spread, lean] = [0, 0];
  for (let i = 0; i < cells.length; i++)
    if (isKept(i)) {
      spread += (cells[i]! - meanCell) ** 2;
      lean += (cells[i]! - meanCell) * (places[i]! - meanPlace);
    }
  const perCell = lean / spread;
  const atZero = meanPlace - perCell * meanCell;
  let squares = 0;
  for (let i = 0; i < cells.length; i++)
    if (isKept(i)) squares += (places[i]! - atZero - perCell * cells[i]!) ** 2;
  return { atZero, perCell, scatter: Math.sqrt(squares / count) };
}
