import type { Rectangle } from "./miller-sprite.ts";

/** How far each place of a picture is moved, pixels, at the corners of square cells of `cell` pixels. */
export interface WarpGrid {
  readonly cell: number;
  readonly columns: number;
  readonly rows: number;
  /** Of the first corner, pixels of the full-size picture. */
  readonly left: number;
  readonly top: number;
  readonly dx: Float32Array;
  readonly dy: Float32Array;
}

export function warpGrid(area: Rectangle, cell: number): WarpGrid {
  const columns = Math.ceil((area.right - area.left) / cell) + 1;
  const rows = Math.ceil((area.bottom - area.top) / cell) + 1;
  return {
    cell,
    columns,
    rows,
    left: area.left,
    top: area.top,
    dx: new Float32Array(columns * rows),
    dy: new Float32Array(columns * rows),
  };
}

/**
 * Lays a moved cut-out over a picture.
 *
 * Each place of the picture shows what lies at (place − displacement) in the cut-out, read between its pixels.
 *
 * @param scale - 1 for planes of full size, 2 for half-size chroma; the grid is always in full-size pixels.
 * @param values - One or two planes, multiplied by `cover`.
 */
export function layOver(
  frames: readonly Float32Array[],
  frameWidth: number,
  frameHeight: number,
  values: readonly Float32Array[],
  cover: Float32Array,
  area: Rectangle,
  spans: Int32Array,
  grid: WarpGrid,
  scale: 1 | 2,
): void {
  const left = area.left / scale;
  const top = area.top / scale;
  const width = (area.right - area.left) / scale;
  const height = (area.bottom - area.top) / scale;
  const cell = grid.cell / scale;
  const frame0 = frames[0]!;
  const frame1 = frames[1];
  const value0 = values[0]!;
  const value1 = values[1];
  const gridLeft = grid.left / scale;
  const firstRow = Math.max(0, top);
  const lastRow = Math.min(frameHeight, top + height);
  for (let y = firstRow; y < lastRow; y++) {
    const spanLeft = Math.max(0, left, left + spans[2 * (y - top)]!);
    const spanRight = Math.min(frameWidth, left + width, left + spans[2 * (y - top) + 1]!);
    if (spanRight <= spanLeft) continue;
    const gy = (y - grid.top / scale) / cell;
    const row = Math.min(grid.rows - 2, Math.floor(gy));
    const fy = gy - row;
    const upper = row * grid.columns;
    const lower = upper + grid.columns;
    let x = spanLeft;
    while (x < spanRight) {
      const column = Math.min(grid.columns - 2, Math.floor((x - gridLeft) / cell));
      const stop =
        column === grid.columns - 2 ? spanRight : Math.min(spanRight, gridLeft + (column + 1) * cell);
      const x0 = (grid.dx[upper + column]! * (1 - fy) + grid.dx[lower + column]! * fy) / scale;
      const x1 = (grid.dx[upper + column + 1]! * (1 - fy) + grid.dx[lower + column + 1]! * fy) / scale;
      const y0 = (grid.dy[upper + column]! * (1 - fy) + grid.dy[lower + column]! * fy) / scale;
      const y1 = (grid.dy[upper + column + 1]! * (1 - fy) + grid.dy[lower + column + 1]! * fy) / scale;
      const stepX = (x1 - x0) / cell;
      const stepY = (y1 - y0) / cell;
      const into = x - (gridLeft + column * cell);
      let sx = x - left - (x0 + stepX * into);
      let sy = y - top - (y0 + stepY * into);
      for (; x < stop; x++, sx += 1 - stepX, sy -= stepY) {
        if (sx < 0 || sy < 0 || sx >= width - 1 || sy >= height - 1) continue;
        const ix = sx | 0;
        const iy = sy | 0;
        const k = iy * width + ix;
        const q = k + width;
        const c00 = cover[k]!;
        const c01 = cover[k + 1]!;
        const c10 = cover[q]!;
        const c11 = cover[q + 1]!;
        if (c00 + c01 + c10 + c11 === 0) continue;
        const fx = sx - ix;
        const fz = sy - iy;
        const w11 = fx * fz;
        const w01 = fx - w11;
        const w10 = fz - w11;
        const w00 = 1 - fx - fz + w11;
        const open = 1 - (w00 * c00 + w01 * c01 + w10 * c10 + w11 * c11);
        const at = y * frameWidth + x;
        frame0[at] =
          frame0[at]! * open +
          w00 * value0[k]! +
          w01 * value0[k + 1]! +
          w10 * value0[q]! +
          w11 * value0[q + 1]!;
        if (frame1 && value1)
          frame1[at] =
            frame1[at]! * open +
            w00 * value1[k]! +
            w01 * value1[k + 1]! +
            w10 * value1[q]! +
            w11 * value1[q + 1]!;
      }
    }
  }
}

/** For each row of a cut-out, where its cover begins and ends, widened by `reach` pixels in both directions. */
export function coverSpans(cover: Float32Array, width: number, height: number, reach: number): Int32Array {
  const own = new Int32Array(2 * height);
  for (let y = 0; y < height; y++) {
    let a = width;
    let b = 0;
    for (let x = 0; x < width; x++)
      if (cover[y * width + x]! > 0) {
        if (x < a) a = x;
        b = x + 1;
      }
    own[2 * y] = a;
    own[2 * y + 1] = b;
  }
  const spans = new Int32Array(2 * height);
  for (let y = 0; y < height; y++) {
    let a = width;
    let b = 0;
    for (let k = Math.max(0, y - reach); k <= Math.min(height - 1, y + reach); k++) {
      a = Math.min(a, own[2 * k]!);
      b = Math.max(b, own[2 * k + 1]!);
    }
    spans[2 * y] = b === 0 ? 0 : a - reach;
    spans[2 * y + 1] = b === 0 ? 0 : b + reach;
  }
  return spans;
}
