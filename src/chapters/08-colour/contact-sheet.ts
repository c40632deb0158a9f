import type { MeasureContext } from "#documents/chapter";
import type { DeepPicture } from "#documents/media-reader";
import type { Recording } from "#documents/recording";
import { chart24Columns, chart24Rows } from "#science/colour/chart24";
import { type Lut3d, sampleLut3d } from "#science/colour/lut3d";
import type { Triple } from "#science/colour/matrix3";

/** A still on the sheet: a moment, and what its code values go through to be seen. */
export interface SheetStill {
  readonly recording: Recording;
  readonly at: number;
  readonly luts: readonly Lut3d[];
}

/** One patch: A's, B's as recorded, B's matched; sRGB, 0 to 1. */
export interface SheetPatch {
  readonly aRgb: Triple;
  readonly beforeRgb: Triple;
  readonly afterRgb: Triple;
}

const margin = 24;
const stillWidth = 456;
const sheetWidth = 4 * margin + 3 * stillWidth;
const cellHeight = 84;
const gap = 10;
const ground: Triple = [0.46, 0.46, 0.46];

/**
 * Draws the sheet that is handed over beside the LUTs: three stills side by side (A, B as recorded, B matched), and
 * under them the chart's patches, each in three parts in the same order, on a middle grey.
 *
 * @returns The path of a JPEG.
 */
export async function writeContactSheet(
  name: string,
  stills: readonly [SheetStill, SheetStill, SheetStill],
  patches: readonly SheetPatch[],
  context: MeasureContext,
): Promise<string> {
  const pictures = await Promise.all(stills.map((still) => smallStill(still, context)));
  const stillHeight = Math.max(...pictures.map(({ height }) => height));
  const rows = patches.length > 0 ? chart24Rows : 0;
  const height = 2 * margin + stillHeight + rows * (cellHeight + gap) + (rows > 0 ? margin : 0);
  const rgb = new Uint8Array(sheetWidth * height * 3);
  const fill = (x0: number, y0: number, x1: number, y1: number, colour: Triple): void => {
    const [left, width] = [Math.round(x0), Math.round(x1) - Math.round(x0)];
    const row = new Uint8Array(width * 3);
    for (let i = 0; i < row.length; i++) row[i] = byte(colour[i % 3]!);
    for (let y = Math.round(y0); y < Math.round(y1); y++) rgb.set(row, (y * sheetWidth + left) * 3);
  };
  fill(0, 0, sheetWidth, height, ground);
  for (const [k, picture] of pictures.entries()) {
    const left = margin + k * (stillWidth + margin);
    for (let y = 0; y < picture.height; y++) {
      rgb.set(
        picture.rgb.subarray(y * picture.width * 3, (y + 1) * picture.width * 3),
        ((margin + y) * sheetWidth + left) * 3,
      );
    }
  }
  const cellWidth = (sheetWidth - 2 * margin - (chart24Columns - 1) * gap) / chart24Columns;
  for (const [i, { aRgb, beforeRgb, afterRgb }] of patches.entries()) {
    const x = margin + (i % chart24Columns) * (cellWidth + gap);
    const y = 2 * margin + stillHeight + Math.floor(i / chart24Columns) * (cellHeight + gap);
    for (const [k, colour] of [aRgb, beforeRgb, afterRgb].entries())
      fill(x + (k * cellWidth) / 3, y, x + ((k + 1) * cellWidth) / 3, y + cellHeight, colour);
  }
  return await context.writePicture(name, { width: sheetWidth, height, rgb });
}

async function smallStill(
  { recording, at, luts }: SheetStill,
  context: MeasureContext,
): Promise<{ width: number; height: number; rgb: Uint8Array }> {
  for await (const frame of context.media.framesAt(recording, [at])) return shrunk(frame, luts);
  return { width: stillWidth, height: 1, rgb: new Uint8Array(stillWidth * 3) };
}

/** Area means of code values, then the tables. */
function shrunk({ width, height, rgb }: DeepPicture, luts: readonly Lut3d[]) {
  const outHeight = Math.max(1, Math.round((height * stillWidth) / width));
  const out = new Uint8Array(stillWidth * outHeight * 3);
  for (let oy = 0; oy < outHeight; oy++) {
    const [top, low] = [Math.floor((oy * height) / outHeight), Math.floor(((oy + 1) * height) / outHeight)];
    for (let ox = 0; ox < stillWidth; ox++) {
      const [left, right] = [
        Math.floor((ox * width) / stillWidth),
        Math.floor(((ox + 1) * width) / stillWidth),
      ];
      const sum = [0, 0, 0];
      let n = 0;
      for (let y = top; y < Math.max(low, top + 1); y++) {
        for (let x = left; x < Math.max(right, left + 1); x++) {
          const i = (y * width + x) * 3;
          for (let c = 0; c < 3; c++) sum[c] = sum[c]! + rgb[i + c]!;
          n++;
        }
      }
      let colour: Triple = [sum[0]! / n / 65_535, sum[1]! / n / 65_535, sum[2]! / n / 65_535];
      for (const lut of luts) colour = sampleLut3d(lut, colour);
      for (let c = 0; c < 3; c++) out[(oy * stillWidth + ox) * 3 + c] = byte(colour[c]!);
    }
  }
  return { width: stillWidth, height: outHeight, rgb: out };
}

function byte(value: number): number {
  return Math.min(255, Math.max(0, Math.round(255 * value)));
}
