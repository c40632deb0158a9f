import type { SmallPicture } from "#documents/media-reader";
import { edgeDetail } from "#science/picture/edge-detail";
import { type FrameShift, frameShift } from "#science/picture/frame-shift";
import { type Grey, greyOf, shrunk } from "#science/picture/grey";

export const columns = 10;
export const rows = 6;

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
    lightness: sum / grey.values.length,
    brightest: brightest / 255,
    thumb: shrunk(grey, Math.max(1, Math.round(grey.width / 120))),
  };
}

function tileColours({ width, height, rgb }: SmallPicture): Pick<Look, "red" | "green" | "blue" | "burnt"> {
  const sums = [0, 1, 2].map(() => new Float32Array(columns * rows));
  const count = new Float32Array(columns * rows);
  let burnt = 0;
  for (let y = 0; y < height; y++) {
    const row = Math.floor((y * rows) / height) * columns;
    for (let x = 0; x < width; x++) {
      const p = 3 * (y * width + x);
      const tile = row + Math.floor((x * columns) / width);
      const [r, g, b] = [rgb[p]!, rgb[p + 1]!, rgb[p + 2]!];
      sums[0]![tile]! += r;
      sums[1]![tile]! += g;
      sums[2]![tile]! += b;
      count[tile]! += 1;
      if (r >= 252 || g >= 252 || b >= 252) burnt++;
    }
  }
  const [red, green, blue] = sums.map((s) => s.map((v, tile) => v / Math.max(1, count[tile]!) / 255));
  return { red: red!, green: green!, blue: blue!, burnt: burnt / (width * height) };
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
