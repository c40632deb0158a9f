import type { SmallPicture } from "#documents/media-reader";
import { edgeDetail } from "#science/picture/edge-detail";
import { type FrameShift, frameShift } from "#science/picture/frame-shift";
import { type Grey, greyOf, shrunk } from "#science/picture/grey";

export const columns = 10;
export const rows = 6;
export const cellsAcross = 2 * columns;

/** What one picture shows, in figures; nothing of the picture is kept but these. */
export interface Look {
  /** Local time, seconds. */
  readonly at: number;
  /** Edge energy per tile at two scales; see edge-detail. */
  readonly fine: Float32Array;
  readonly coarse: Float32Array;
  /** Mean code value per tile and colour, 0..1. */
  readonly red: Float32Array;
  readonly green: Float32Array;
  readonly blue: Float32Array;
  /** Mean luma of quarter tiles, {@link cellsAcross} a row: what a tile shows, roughly. */
  readonly cells: Float32Array;
  /** Mean luma, 0..1. */
  readonly lightness: number;
  /** Luma of the brightest hundredth. */
  readonly brightest: number;
  /** Share of pixels with a channel at or over 252 of 255. */
  readonly burnt: number;
  /** Small grey picture, to tell movement by. */
  readonly thumb: Grey;
}

/** A look without its small picture: what is kept for every picture of an hour. */
export type Figures = Omit<Look, "thumb">;

/** Looks at one picture. Answers figures that hold whatever its size, 64 pixels wide or more. */
export function lookAt(picture: SmallPicture): Look {
  const grey = greyOf(picture);
  const { fine, coarse } = edgeDetail(grey, columns, rows);
  const colours = tileColours(picture);
  const histogram = new Uint32Array(256);
  let sum = 0;
  for (const value of grey.values) {
    sum += value;
    histogram[Math.min(255, Math.round(value * 255))]! += 1;
  }
  let above = 0;
  let brightest = 255;
  while (brightest > 0 && (above += histogram[brightest]!) < grey.values.length / 100) brightest--;
  return {
    at: picture.atSeconds,
    fine,
    coarse,
    ...colours,
    cells: meansOf(grey, cellsAcross, 2 * rows),
    lightness: sum / grey.values.length,
    brightest: brightest / 255,
    thumb: shrunk(grey, Math.max(1, Math.round(grey.width / 120))),
  };
}

function meansOf({ width, height, values }: Grey, across: number, down: number): Float32Array {
  const means = new Float32Array(across * down);
  const column = Uint16Array.from({ length: width }, (_, x) => Math.floor((x * across) / width));
  for (let y = 0; y < height; y++) {
    const row = Math.floor((y * down) / height) * across;
    for (let x = 0; x < width; x++) means[row + column[x]!]! += values[y * width + x]!;
  }
  return means.map((sum, i) => {
    const area = edge(i % across, across, width) * edge(Math.floor(i / across), down, height);
    return sum / Math.max(1, area);
  });
}

function tileColours({ width, height, rgb }: SmallPicture): Pick<Look, "red" | "green" | "blue" | "burnt"> {
  const tiles = columns * rows;
  const red = new Float32Array(tiles);
  const green = new Float32Array(tiles);
  const blue = new Float32Array(tiles);
  const column = Uint16Array.from({ length: width + 1 }, (_, x) => Math.floor((x * columns) / width));
  let burnt = 0;
  for (let y = 0, p = 0; y < height; y++) {
    const row = Math.floor((y * rows) / height) * columns;
    for (let x = 0; x < width; ) {
      // One tile's part of the line at a time.
      const tile = row + column[x]!;
      let r = 0;
      let g = 0;
      let b = 0;
      for (const here = column[x]!; x < width && column[x] === here; x++, p += 3) {
        r += rgb[p]!;
        g += rgb[p + 1]!;
        b += rgb[p + 2]!;
        if (rgb[p]! >= 252 || rgb[p + 1]! >= 252 || rgb[p + 2]! >= 252) burnt++;
      }
      red[tile]! += r;
      green[tile]! += g;
      blue[tile]! += b;
    }
  }
  for (let tile = 0; tile < tiles; tile++) {
    const across = edge(tile % columns, columns, width);
    const down = edge(Math.floor(tile / columns), rows, height);
    const scale = 1 / (255 * Math.max(1, across * down));
    red[tile]! *= scale;
    green[tile]! *= scale;
    blue[tile]! *= scale;
  }
  return { red, green, blue, burnt: burnt / (width * height) };
}

/** Pixels of part `part` of a side cut into `parts`: those x with ⌊x × parts / length⌋ = part. */
function edge(part: number, parts: number, length: number): number {
  return Math.ceil(((part + 1) * length) / parts) - Math.ceil((part * length) / parts);
}

/** What changed from the picture before. */
export interface Change {
  /** Shift of the frame in shares of its width; `null` where it cannot be told. */
  readonly shift: { readonly x: number; readonly y: number } | null;
  /** Mean absolute difference of the small pictures, code values 0..1. */
  readonly difference: number;
}

/** Compares two looks of one recording, in order of time. */
export function changeBetween(before: Look, after: Look): Change {
  let difference = 0;
  const [a, b] = [before.thumb.values, after.thumb.values];
  for (let i = 0; i < a.length; i++) difference += Math.abs(a[i]! - (b[i] ?? 0));
  const shift: FrameShift | null = frameShift(before.thumb, after.thumb);
  const width = after.thumb.width;
  return { shift: shift && { x: shift.x / width, y: shift.y / width }, difference: difference / a.length };
}
