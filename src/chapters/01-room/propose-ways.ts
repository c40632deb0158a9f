import type { Furniture, Plan } from "#documents/plan";
import { distanceToBox } from "#science/geometry/box";
import { distanceToOutline, isInside } from "#science/geometry/polygon";
import type { SceneWall } from "./scene.ts";

/** The least breadth of the way from a door, metres. Common practice; local codes decide. */
export const wayBreadth = 0.7;
/** Half of it to each side, and what the squares of the plan's figures round off. */
const half = wayBreadth / 2 + 0.011;
/** From a stand's legs to the hand that reaches what it holds, metres. Common practice. */
const arm = 0.45;
/** Furniture that hangs higher than this is walked under, metres. */
const overhead = 1.9;

/** The floor as squares: which of them are wide enough to walk when nobody and nothing has been put there yet. */
export interface WayGrid {
  readonly left: number;
  readonly bottom: number;
  readonly step: number;
  readonly columns: number;
  readonly rows: number;
  /** 1: wide enough. */
  readonly open: Uint8Array;
  /** The square inside each door that is wide enough; empty: no way is asked for. */
  readonly doors: readonly number[];
  /** Used anew by every look. */
  readonly state: Uint8Array;
  readonly queue: Int32Array;
}

/** The grid of a room, in squares of the size that the plan's figures use. */
export function wayGridOf(plan: Plan, walls: readonly SceneWall[], standing: readonly Furniture[]): WayGrid {
  const { outline } = plan.room;
  const [xs, ys] = [outline.map((c) => c[0]), outline.map((c) => c[1])];
  const [left, bottom] = [Math.min(...xs), Math.min(...ys)];
  const [width, depth] = [Math.max(...xs) - left, Math.max(...ys) - bottom];
  const step = Math.max(0.12, Math.sqrt((width * depth) / 1600));
  const columns = Math.max(1, Math.ceil(width / step));
  const rows = Math.max(1, Math.ceil(depth / step));
  const open = new Uint8Array(rows * columns);
  const low = standing.filter((f) => f.base < overhead);
  for (let cell = 0; cell < open.length; cell++) {
    const x = left + ((cell % columns) + 0.5) * step;
    const y = bottom + (Math.floor(cell / columns) + 0.5) * step;
    if (!isInside(outline, x, y)) continue;
    let free = distanceToOutline(outline, x, y);
    for (const piece of low) free = Math.min(free, distanceToBox(piece, x, y));
    open[cell] = free >= half ? 1 : 0;
  }
  const doors = walls.flatMap((wall) =>
    wall.openings
      .filter((o) => o.said.kind === "door" && o.said.width >= wayBreadth)
      .map((o) => {
        const column = Math.floor((o.middle[0] + wall.inward[0] * 0.45 - left) / step);
        const row = Math.floor((o.middle[1] + wall.inward[1] * 0.45 - bottom) / step);
        return Math.min(rows - 1, Math.max(0, row)) * columns + Math.min(columns - 1, Math.max(0, column));
      }),
  );
  return {
    left,
    bottom,
    step,
    columns,
    rows,
    open,
    doors,
    state: new Uint8Array(open.length),
    queue: new Int32Array(open.length),
  };
}

/** Something on the floor that a way goes round: x, y, radius. */
export type FloorDisc = readonly [number, number, number];

/**
 * Whether a way as broad as {@link wayBreadth} leads from a door to each goal: to the square beside a chair, or to within an
 * arm of a stand's legs.
 *
 * @param discs - What stands on the floor beside the furniture.
 * @param goals - x, y and how near the way must come; radius 0: a chair's own square.
 * @returns How many goals no way leads to; 0 where the room has no door.
 */
export function goalsCutOff(grid: WayGrid, discs: readonly FloorDisc[], goals: readonly FloorDisc[]): number {
  if (grid.doors.length === 0) return 0;
  const { state, queue, step, columns, rows, left, bottom } = grid;
  state.set(grid.open);
  for (const [x, y, radius] of discs) {
    const reach = radius + half;
    const [c0, c1] = span((x - reach - left) / step, (x + reach - left) / step, columns);
    const [r0, r1] = span((y - reach - bottom) / step, (y + reach - bottom) / step, rows);
    for (let row = r0; row <= r1; row++)
      for (let column = c0; column <= c1; column++) {
        const dx = left + (column + 0.5) * step - x;
        const dy = bottom + (row + 0.5) * step - y;
        if (dx * dx + dy * dy < reach * reach) state[row * columns + column] = 0;
      }
  }
  let head = 0;
  let tail = 0;
  for (const door of grid.doors) {
    // The square at the door itself is as wide as the door.
    state[door] = 2;
    queue[tail++] = door;
  }
  const reach = (cell: number): void => {
    if (state[cell] !== 1) return;
    state[cell] = 2;
    queue[tail++] = cell;
  };
  while (head < tail) {
    const cell = queue[head++]!;
    const column = cell % columns;
    if (column > 0) reach(cell - 1);
    if (column < columns - 1) reach(cell + 1);
    // Beyond the first and the last row lies nothing: no square has such a number.
    reach(cell - columns);
    reach(cell + columns);
  }
  let cut = 0;
  for (const goal of goals) if (!isReached(grid, goal)) cut++;
  return cut;
}

function isReached(
  { state, step, columns, rows, left, bottom }: WayGrid,
  [x, y, radius]: FloorDisc,
): boolean {
  const column = Math.floor((x - left) / step);
  const row = Math.floor((y - bottom) / step);
  if (radius === 0) {
    if (column < 0 || row < 0 || column >= columns || row >= rows) return false;
    const cell = row * columns + column;
    return (
      state[cell] === 2 ||
      (column > 0 && state[cell - 1] === 2) ||
      (column < columns - 1 && state[cell + 1] === 2) ||
      state[cell - columns] === 2 ||
      state[cell + columns] === 2
    );
  }
  // The way's middle keeps half its breadth from the legs, so the hand is an arm beyond that.
  const reach = radius + half + arm;
  const [c0, c1] = span((x - reach - left) / step, (x + reach - left) / step, columns);
  const [r0, r1] = span((y - reach - bottom) / step, (y + reach - bottom) / step, rows);
  for (let r = r0; r <= r1; r++)
    for (let c = c0; c <= c1; c++)
      if (
        state[r * columns + c] === 2 &&
        Math.hypot(left + (c + 0.5) * step - x, bottom + (r + 0.5) * step - y) <= reach
      )
        return true;
  return false;
}

const span = (from: number, to: number, count: number): [number, number] => [
  Math.max(0, Math.floor(from)),
  Math.min(count - 1, Math.floor(to)),
];
