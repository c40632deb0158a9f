import type { Grey } from "./grey.ts";

/** Edge energy of each tile at two scales; row by row. */
export interface EdgeDetail {
  readonly columns: number;
  readonly rows: number;
  /** Mean squared step between neighbours; grain counts too. */
  readonly fine: Float32Array;
  /** Mean squared slope over six pixels, per pixel. */
  readonly coarse: Float32Array;
}

const reach = 3;

/**
 * How steep the edges of a picture are, tile by tile, at a fine and at a coarse scale.
 *
 * `fine / coarse` tells sharp from soft whatever the contrast or exposure: about 6 for a one-pixel step, 1 for a
 * slope that is wider than six pixels. Own construction; the idea that focus shows as the ratio of two band energies is common practice.
 *
 * @param grey - At least 8 pixels either way.
 */
export function edgeDetail(grey: Grey, columns: number, rows: number): EdgeDetail {
  const { width, height, values } = grey;
  const fine = new Float32Array(columns * rows);
  const coarse = new Float32Array(columns * rows);
  const count = new Float32Array(columns * rows);
  const column = Uint16Array.from({ length: width }, (_, x) => Math.floor((x * columns) / width));
  for (let y = reach; y < height - reach; y++) {
    const row = Math.floor((y * rows) / height) * columns;
    for (let x = reach; x < width - reach; x++) {
      const i = y * width + x;
      const tile = row + column[x]!;
      const across = values[i + 1]! - values[i]!;
      const down = values[i + width]! - values[i]!;
      const wideAcross = values[i + reach]! - values[i - reach]!;
      const wideDown = values[i + reach * width]! - values[i - reach * width]!;
      fine[tile]! += across * across + down * down;
      coarse[tile]! += wideAcross * wideAcross + wideDown * wideDown;
      count[tile]! += 1;
    }
  }
  for (let tile = 0; tile < fine.length; tile++) {
    const n = Math.max(1, count[tile]!);
    fine[tile]! /= n;
    coarse[tile]! /= n * 4 * reach * reach;
  }
  return { columns, rows, fine, coarse };
}
