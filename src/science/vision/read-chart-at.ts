import { chart24Columns, chart24Rows } from "#science/colour/chart24";
import type { Triple } from "#science/colour/matrix3";
import { chartLikeness } from "./chart-colours.ts";
import type { ChartPlace } from "./chart-place.ts";
import { fitHomography, type Point, project } from "./homography.ts";
import { type ChartReading, patchPixelsOf } from "./read-chart.ts";

/** What a patch takes of its unit where nothing is measured: between the 0.8 and 0.9 that are usual. */
const usualPatch = 0.85;
/** Side of the middle square of a patch that is read, as a part of the patch: hands are less exact than edges found. */
const readPart = 0.4;
const mostSamplesAcross = 40;
/** Of a patch's samples this part is dropped at each end: dust, a scratch, a reflection. */
const trimmed = 0.15;

/**
 * Where the chart lies whose outer corners are these; the inverse of `chartCorners`.
 *
 * @param corners - From dark skin's corner clockwise on the chart; pixels, 0 at the corner of the first.
 * @returns null where the four do not span a picture of a rectangle.
 */
export function chartPlaceOf(corners: readonly Point[]): ChartPlace | null {
  const half = usualPatch / 2;
  const [right, low] = [chart24Columns - 1 + half, chart24Rows - 1 + half];
  const outer: Point[] = [
    [-half, -half],
    [right, -half],
    [right, low],
    [-half, low],
  ];
  if (!isConvex(corners)) return null;
  const toPicture = fitHomography(
    outer,
    corners.map(([x, y]): Point => [x - 0.5, y - 0.5]),
  );
  return toPicture && { toPicture, patchSize: [usualPatch, usualPatch] };
}

/** Whether four points turn the same way all round, either way: a chart seen in a mirror is the caller's to refuse. */
function isConvex(corners: readonly Point[]): boolean {
  const turns = corners.map((a, i) => {
    const [b, c] = [corners[(i + 1) % 4]!, corners[(i + 2) % 4]!];
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]);
  });
  return corners.length === 4 && (turns.every((turn) => turn > 1) || turns.every((turn) => turn < -1));
}

/**
 * Reads the chart exactly where a person says it is: no edge is looked for, nothing is moved.
 *
 * @param picture - Code values, 0 to 65 535, full size.
 * @returns null where a patch's middle lies outside the picture, or the corners span nothing.
 */
export function readChartAt(
  picture: { readonly width: number; readonly height: number; readonly rgb: Uint16Array },
  corners: readonly [Point, Point, Point, Point],
): ChartReading | null {
  const place = chartPlaceOf(corners);
  if (!place) return null;
  const patchPixels = patchPixelsOf(place);
  const across = Math.max(4, Math.min(mostSamplesAcross, Math.round(patchPixels * readPart)));
  const codes: Triple[] = [];
  const clippedShare: number[] = [];
  const crushedShare: number[] = [];
  for (let i = 0; i < 24; i++) {
    const channels: [number[], number[], number[]] = [[], [], []];
    for (let k = 0; k < across * across; k++) {
      const offset = (n: number): number => ((n + 0.5) / across - 0.5) * usualPatch * readPart;
      const [px, py] = project(place.toPicture, [
        (i % chart24Columns) + offset(k % across),
        Math.floor(i / chart24Columns) + offset(Math.floor(k / across)),
      ]);
      const [x, y] = [Math.round(px), Math.round(py)];
      if (!(x >= 0 && y >= 0 && x < picture.width && y < picture.height)) return null;
      for (let c = 0; c < 3; c++) channels[c]!.push(picture.rgb[(y * picture.width + x) * 3 + c]! / 65_535);
    }
    const share = (is: (v: number) => boolean): number =>
      Math.max(...channels.map((values) => values.filter(is).length / values.length));
    clippedShare.push(share((v) => v >= 0.995));
    crushedShare.push(share((v) => v <= 0.002));
    codes.push(channels.map(trimmedMean) as unknown as Triple);
  }
  return {
    place,
    corners,
    codes,
    clippedShare,
    crushedShare,
    patchPixels,
    likeness: chartLikeness(Float64Array.from(codes.flat())),
  };
}

function trimmedMean(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const drop = Math.floor(sorted.length * trimmed);
  const kept = sorted.slice(drop, sorted.length - drop);
  return kept.reduce((sum, v) => sum + v, 0) / kept.length;
}
