/** A floor as squares, row by row from the lower left. */
export interface Squares {
  readonly columns: number;
  readonly rows: number;
  /** Side of a square, metres. */
  readonly step: number;
}

/** The cheapest way from each square to the nearest of some goals. */
export interface CheapestWays {
  /** The squares from one to its goal, both told; null where no way leads. */
  readonly wayFrom: (cell: number) => number[] | null;
}

/** Steps to a square's eight neighbours: across, up, and their length in fifths of a side (5 and 7 for 1 and √2). */
const steps = [
  [1, 0, 5],
  [-1, 0, 5],
  [0, 1, 5],
  [0, -1, 5],
  [1, 1, 7],
  [1, -1, 7],
  [-1, 1, 7],
  [-1, -1, 7],
] as const;

/**
 * Cheapest ways over a floor from every square to the nearest goal (Dijkstra's method, by buckets of whole costs).
 *
 * @param price - Of a step into each square, whole, at least 1; 0: nobody gets in.
 * @param goals - Squares.
 * @returns Ways from any square, one that nobody gets into too.
 */
export function cheapestWays(
  { columns, rows }: Squares,
  price: Uint8Array,
  goals: readonly number[],
): CheapestWays {
  const cost = new Int32Array(columns * rows).fill(-1);
  const next = new Int32Array(columns * rows).fill(-1);
  const settled = new Uint8Array(columns * rows);
  const buckets: number[][] = [];
  const put = (cell: number, total: number): void => {
    cost[cell] = total;
    const bucket = buckets[total];
    if (bucket) bucket.push(cell);
    else buckets[total] = [cell];
  };
  for (const goal of goals) if (cost[goal] === -1) put(goal, 0);
  for (let total = 0; total < buckets.length; total++)
    for (const cell of buckets[total] ?? []) {
      if (settled[cell] || cost[cell] !== total) continue;
      settled[cell] = 1;
      const column = cell % columns;
      const row = (cell - column) / columns;
      for (const [dx, dy, length] of steps) {
        const [x, y] = [column + dx, row + dy];
        if (x < 0 || x >= columns || y < 0 || y >= rows) continue;
        const other = x + y * columns;
        if (settled[other]) continue;
        // A way may begin in a square that nobody gets into (a stand between two pieces), and not lead through it.
        if (price[cell] === 0 && next[cell] !== -1) continue;
        const through = total + length * Math.max(1, price[other] === 0 ? blocked : price[other]!);
        if (cost[other] !== -1 && cost[other]! <= through) continue;
        next[other] = cell;
        put(other, through);
      }
    }
  return {
    wayFrom: (cell) => {
      if (cost[cell] === -1) return null;
      const way = [cell];
      for (let at = next[cell]!; at !== -1; at = next[at]!) way.push(at);
      return way;
    },
  };
}

/** Price of beginning in a square that nobody gets into. */
const blocked = 50;
