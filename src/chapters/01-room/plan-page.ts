import type { SceneWall } from "./scene-walls.ts";

/** How the room lies on the drawing: metres to the drawing's own units (96 to the inch on paper) and back. */
export interface PlanPage {
  readonly width: number;
  readonly height: number;
  /** Units a metre. */
  readonly scale: number;
  /** Thickness of the walls as drawn. */
  readonly wall: number;
  x(metres: number): number;
  y(metres: number): number;
  /** The place in the room of a point of the drawing, metres. */
  toRoom(x: number, y: number): [number, number];
  /** Set where the drawing is to scale on paper: 50 for 1:50. */
  readonly ratio: number | null;
}

/** How large the drawing is to be: as wide as this, or to scale on paper. */
export type PlanSize = { readonly width: number; readonly tallest?: number } | { readonly ratio: number };

/** From a wall's outer face to the end of its dimension's figures. */
export const dimensionRoom = 40;
/** Beneath the drawing, for the scale bar and north. */
export const footRoom = 34;
/** CSS pixels in a metre of paper: 96 an inch of 0.0254 m. */
const paperMetre = 96 / 0.0254;

/** The walls that get a dimension: each with openings, and of equal parallel ones the first. */
export function dimensionedWalls(walls: readonly SceneWall[]): SceneWall[] {
  const isSame = (a: SceneWall, b: SceneWall): boolean =>
    Math.abs(a.metres - b.metres) < 0.005 &&
    Math.abs(a.along[0] * b.along[1] - a.along[1] * b.along[0]) < 0.01;
  return walls.filter((wall, i) => {
    if (wall.metres < 0.3) return false;
    const plain = (w: SceneWall): boolean => w.openings.length === 0;
    if (!plain(wall)) return true;
    return !walls.some((other, j) => j !== i && isSame(wall, other) && (!plain(other) || j < i));
  });
}

/** Lays the room on a drawing of the wished size. */
export function planPage(walls: readonly SceneWall[], size: PlanSize): PlanPage {
  const xs = walls.map((w) => w.from[0]);
  const ys = walls.map((w) => w.from[1]);
  const [left, right] = [Math.min(...xs), Math.max(...xs)];
  const [low, high] = [Math.min(...ys), Math.max(...ys)];
  const [w, h] = [Math.max(0.1, right - left), Math.max(0.1, high - low)];
  const wall = "width" in size ? Math.max(9, Math.min(26, size.width * 0.032)) : 20;
  const room = { left: 1, right: 1, top: 1, bottom: 1 };
  for (const { inward } of dimensionedWalls(walls)) {
    if (inward[0] < -0.3) room.right = dimensionRoom;
    if (inward[0] > 0.3) room.left = dimensionRoom;
    if (inward[1] < -0.3) room.top = dimensionRoom;
    if (inward[1] > 0.3) room.bottom = dimensionRoom;
  }
  const aside = 2 * wall + room.left + room.right;
  const above = 2 * wall + room.top + room.bottom + footRoom;
  const scale =
    "ratio" in size
      ? paperMetre / size.ratio
      : Math.min(
          (size.width - aside) / w,
          size.tallest ? (size.tallest - above) / h : Number.POSITIVE_INFINITY,
        );
  const width = "width" in size ? size.width : w * scale + aside;
  const spare = Math.max(0, width - aside - w * scale) / 2;
  const x0 = wall + room.left + spare - left * scale;
  const y0 = wall + room.top + high * scale;
  return {
    width,
    height: h * scale + above,
    scale,
    wall,
    x: (metres) => x0 + metres * scale,
    y: (metres) => y0 - metres * scale,
    toRoom: (x, y) => [(x - x0) / scale, (y0 - y) / scale],
    ratio: "ratio" in size ? size.ratio : null,
  };
}
