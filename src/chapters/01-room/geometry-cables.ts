import type { RoomGeometry } from "#documents/room-result";
import { boxOutline } from "#science/geometry/box";
import { cheapestWays, type Squares } from "#science/geometry/cheapest-ways";
import { isInside } from "#science/geometry/polygon";
import type { WidestWay } from "#science/geometry/widest-way";
import type { Scene } from "./scene.ts";

type Cable = RoomGeometry["cables"][number];

/** Prices of a step: along a wall, on open floor, where people walk or sit. Common practice: round the way, seldom across it. */
const [byWall, onFloor, inWay] = [4, 5, 60];
/** A cable runs along a wall within this of it; people need this of floor to each side of where they walk or sit. Metres. */
const [wallStrip, wayStrip] = [0.3, 0.35];
/** Furniture with its underside above this lets a cable through, metres. */
const lets = 0.1;

/**
 * Cable runs of the lamps on the mains: to the outlets of their circuits where the plan says where those are, else to the nearest wall;
 * round furniture, along walls, and outside what people walk and sit on wherever a way round is worth it.
 *
 * @param way - From the door to the interviewer's chair.
 */
export function cablesOf(scene: Scene, way: WidestWay | null): Cable[] {
  const wired = scene.lights.filter((l) => l.light.batteryWattHours === undefined);
  if (wired.length === 0) return [];
  const floor = floorOf(scene, way);
  const { circuits, on } = scene.plan.mains;
  const everyOutlet = circuits.flatMap((c) => c.outlets ?? []);
  const known = new Map<string, ReturnType<typeof cheapestWays>>();
  return wired.map((light) => {
    const own = circuits.find((c) => c.id === on[light.id])?.outlets ?? [];
    const outlets = own.length > 0 ? own : everyOutlet;
    const key = own.length > 0 ? on[light.id]! : "";
    let ways = known.get(key);
    if (!ways) {
      const goals = outlets.length > 0 ? outlets.map(([x, y]) => floor.cellAt(x, y)) : floor.walls;
      ways = cheapestWays(floor, floor.price, goals);
      known.set(key, ways);
    }
    const cells = ways.wayFrom(floor.cellAt(light.point[0], light.point[1]));
    const to = outlets.length > 0 ? ("outlet" as const) : ("wall" as const);
    if (!cells) return { id: light.id, metres: 0, crossesWalkway: false, to, path: [] };
    const path = straightened([[light.point[0], light.point[1]], ...cells.slice(1).map(floor.middle)]);
    let metres = 0;
    for (let i = 1; i < path.length; i++)
      metres += Math.hypot(path[i]![0] - path[i - 1]![0], path[i]![1] - path[i - 1]![1]);
    return {
      id: light.id,
      // From the last square's middle to the wall itself.
      metres: metres + floor.step / 2,
      crossesWalkway: cells.some((cell) => floor.isWay[cell] === 1),
      to,
      path,
    };
  });
}

interface Floor extends Squares {
  readonly price: Uint8Array;
  /** 1: people walk there. */
  readonly isWay: Uint8Array;
  /** Squares by a wall. */
  readonly walls: readonly number[];
  readonly cellAt: (x: number, y: number) => number;
  readonly middle: (cell: number) => [number, number];
}

function floorOf(scene: Scene, way: WidestWay | null): Floor {
  const { outline } = scene.room;
  const [xs, ys] = [outline.map((c) => c[0]), outline.map((c) => c[1])];
  const [left, bottom] = [Math.min(...xs), Math.min(...ys)];
  const [width, depth] = [Math.max(...xs) - left, Math.max(...ys) - bottom];
  const step = Math.max(0.15, Math.sqrt((width * depth) / 1600));
  const columns = Math.max(1, Math.ceil(width / step));
  const rows = Math.max(1, Math.ceil(depth / step));
  const price = new Uint8Array(columns * rows);
  const isWay = new Uint8Array(columns * rows);
  const middle = (cell: number): [number, number] => [
    left + ((cell % columns) + 0.5) * step,
    bottom + (Math.floor(cell / columns) + 0.5) * step,
  ];
  const cellAt = (x: number, y: number): number =>
    Math.max(0, Math.min(columns - 1, Math.floor((x - left) / step))) +
    Math.max(0, Math.min(rows - 1, Math.floor((y - bottom) / step))) * columns;
  for (let cell = 0; cell < price.length; cell++) {
    const [x, y] = middle(cell);
    if (isInside(outline, x, y)) price[cell] = onFloor;
  }
  /** Paints the squares of a rectangle whose middles a test takes. */
  const paint = (
    box: readonly [number, number, number, number],
    put: (cell: number, x: number, y: number) => void,
  ): void => {
    const first = cellAt(box[0], box[1]);
    const last = cellAt(box[2], box[3]);
    const to = last % columns;
    for (let row = Math.floor(first / columns); row <= Math.floor(last / columns); row++)
      for (let column = first % columns; column <= to; column++) {
        const cell = row * columns + column;
        if (price[cell] !== 0) put(cell, left + (column + 0.5) * step, bottom + (row + 0.5) * step);
      }
  };
  const walls = new Set<number>();
  for (const wall of scene.walls) {
    const [a, b] = [wall.from, wall.to];
    const s = wallStrip;
    paint(
      [
        Math.min(a[0], b[0]) - s,
        Math.min(a[1], b[1]) - s,
        Math.max(a[0], b[0]) + s,
        Math.max(a[1], b[1]) + s,
      ],
      (cell, x, y) => {
        const off = (x - a[0]) * wall.inward[0] + (y - a[1]) * wall.inward[1];
        const along = (x - a[0]) * wall.along[0] + (y - a[1]) * wall.along[1];
        if (off < 0 || along < 0 || along > wall.metres) return;
        const isDoorway = wall.openings.some(
          (o) => o.said.kind !== "window" && along >= o.from && along <= o.to,
        );
        if (isDoorway) {
          // A cable under a door is a cable across the way, however close to the wall.
          price[cell] = inWay;
          isWay[cell] = 1;
        } else if (isWay[cell] === 0 && off <= wallStrip) price[cell] = byWall;
        if (off <= step && !isDoorway) walls.add(cell);
      },
    );
  }
  const keepFree = (x: number, y: number): void =>
    paint([x - wayStrip, y - wayStrip, x + wayStrip, y + wayStrip], (cell, px, py) => {
      if ((px - x) ** 2 + (py - y) ** 2 > wayStrip * wayStrip) return;
      price[cell] = inWay;
      isWay[cell] = 1;
    });
  for (const [x, y] of way?.path ?? []) keepFree(x, y);
  for (const { head } of [scene.sitter, scene.interviewer]) keepFree(head[0], head[1]);
  for (const piece of scene.furniture) {
    if (piece.base > lets) continue;
    const loop = boxOutline(piece);
    const [px, py] = [loop.map((c) => c[0]), loop.map((c) => c[1])];
    paint([Math.min(...px), Math.min(...py), Math.max(...px), Math.max(...py)], (cell, x, y) => {
      if (!isInside(loop, x, y)) return;
      price[cell] = 0;
      walls.delete(cell);
    });
  }
  return { columns, rows, step, price, isWay, walls: [...walls], cellAt, middle };
}

/** A way over squares without the points at which it does not turn. */
function straightened(points: readonly [number, number][]): [number, number][] {
  return points.filter((p, i) => {
    const [a, b] = [points[i - 1], points[i + 1]];
    if (!a || !b) return true;
    return Math.abs((p[0] - a[0]) * (b[1] - p[1]) - (p[1] - a[1]) * (b[0] - p[0])) > 1e-9;
  });
}
