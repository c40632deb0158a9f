import type { Area } from "./block-look.ts";
import { movePlace } from "./chart-place.ts";
import { type ChartFind, findChart } from "./find-chart.ts";

/**
 * Finds the chart as {@link findChart} does, but in a part of a picture: where most of it is known to hold none, in a
 * part of the time.
 *
 * @param picture - About 640 pixels wide, as displayed.
 * @returns The place in the whole picture's pixels, or null. A chart that the part cuts is looked for in the whole.
 */
export function findChartWithin(
  picture: { readonly width: number; readonly height: number; readonly rgb: Uint8Array },
  area: Area,
): ChartFind | null {
  const { left, top, width, height } = area;
  // Little is saved by cutting little off.
  if (width * height > 0.7 * picture.width * picture.height) return findChart(picture);
  const rgb = new Uint8Array(width * height * 3);
  for (let y = 0; y < height; y++) {
    const from = ((top + y) * picture.width + left) * 3;
    rgb.set(picture.rgb.subarray(from, from + width * 3), y * width * 3);
  }
  const found = findChart({ width, height, rgb });
  if (!found) return null;
  return found.outside ? findChart(picture) : { ...found, place: movePlace(found.place, left, top) };
}
