/** A way over a floor. */
export interface WidestWay {
  /** Room to both sides at its narrowest, metres: twice the least distance to anything. */
  readonly metres: number;
  /** Where that is. */
  readonly at: readonly [number, number];
  /** The squares it passes, from the goal back to the start. */
  readonly path: readonly (readonly [number, number])[];
}

/**
 * The way over a floor that keeps farthest from everything (maximin path on a square grid, by buckets of clearance).
 *
 * @param box - Left, bottom, right, top of the floor, metres.
 * @param clearance - Distance of a point to the nearest obstacle or wall, metres; 0 or less where nobody can stand.
 * @param step - Side of a square, metres.
 * @returns null where no way leads there.
 */
export function widestWay(
  box: readonly [number, number, number, number],
  clearance: (x: number, y: number) => number,
  from: readonly [number, number],
  to: readonly [number, number],
  step: number,
): WidestWay | null {
  const columns = Math.max(1, Math.ceil((box[2] - box[0]) / step));
  const rows = Math.max(1, Math.ceil((box[3] - box[1]) / step));
  const x = (cell: number): number => box[0] + ((cell % columns) + 0.5) * step;
  const y = (cell: number): number => box[1] + (Math.floor(cell / columns) + 0.5) * step;
  const cellAt = (p: readonly [number, number]): number => {
    const column = Math.min(columns - 1, Math.max(0, Math.floor((p[0] - box[0]) / step)));
    return Math.min(rows - 1, Math.max(0, Math.floor((p[1] - box[1]) / step))) * columns + column;
  };
  // Clearances beyond this are all "wide enough": fewer buckets, and straight ways through open floor.
  const [levels, widest] = [40, 0.6];
  const level = new Int8Array(rows * columns).fill(-1);
  const before = new Int32Array(rows * columns).fill(-1);
  const least = new Int8Array(rows * columns).fill(-1);
  const levelOf = (cell: number): number => {
    if (level[cell] === -1) {
      const free = clearance(x(cell), y(cell));
      level[cell] = Math.max(0, Math.min(levels, Math.ceil((free / widest) * levels)));
    }
    return level[cell]!;
  };
  const buckets: number[][] = Array.from({ length: levels + 1 }, () => []);
  const [start, goal] = [cellAt(from), cellAt(to)];
  least[start] = Math.max(1, levelOf(start));
  buckets[least[start]!]!.push(start);
  for (let k = levels; k > 0; ) {
    const bucket = buckets[k]!;
    const cell = bucket.shift();
    if (cell === undefined) {
      k--;
      continue;
    }
    if (least[cell] !== k) continue;
    if (cell === goal) break;
    const [column, row] = [cell % columns, Math.floor(cell / columns)];
    for (const [dx, dy] of neighbours) {
      if (column + dx < 0 || column + dx >= columns || row + dy < 0 || row + dy >= rows) continue;
      const next = cell + dx + dy * columns;
      if (least[next] !== -1) continue;
      const through = Math.min(k, next === goal ? k : levelOf(next));
      if (through <= 0) continue;
      least[next] = through;
      before[next] = cell;
      buckets[through]!.push(next);
    }
  }
  if (least[goal]! <= 0) return null;
  const path: [number, number][] = [];
  let narrow = goal;
  for (let cell = goal; cell !== -1; cell = before[cell]!) {
    path.push([x(cell), y(cell)]);
    if (cell !== goal && cell !== start && (narrow === goal || levelOf(cell) < levelOf(narrow)))
      narrow = cell;
  }
  const free = narrow === goal ? widest : clearance(x(narrow), y(narrow));
  return { metres: 2 * free, at: [x(narrow), y(narrow)], path };
}

const neighbours = [
  [1, 0],
  [-1, 0],
  [0, 1],
  [0, -1],
] as const;
