import { chart24Columns, chart24Rows } from "#science/colour/chart24";
import { type ColourVerdict, judgeChartColours } from "./chart-colours.ts";
import { fitHomography, type Homography, type Point, project } from "./homography.ts";
import type { Planes } from "./planes.ts";

/**
 * Where a chart lies in a picture. The plane's unit is one patch to the next: the middle of the patch in column c
 * and row r is at (c, r), dark skin at (0, 0), black at (5, 3).
 */
export interface ChartPlace {
  readonly toPicture: Homography;
  /** A patch's width and height in that unit, gaps left out: usually 0.8 to 0.9. */
  readonly patchSize: Point;
}

/** Outer corners of the 24-patch field from dark skin's corner clockwise on the chart; pixels, 0 at the corner of the first. */
export function chartCorners({ toPicture, patchSize: [w, h] }: ChartPlace): [Point, Point, Point, Point] {
  const right = chart24Columns - 1 + w / 2;
  const low = chart24Rows - 1 + h / 2;
  const corner = (x: number, y: number): Point => {
    const [px, py] = project(toPicture, [x, y]);
    return [px + 0.5, py + 0.5];
  };
  return [corner(-w / 2, -h / 2), corner(right, -h / 2), corner(right, low), corner(-w / 2, low)];
}

/** The same place in a picture `factor` times as large, pixel middles taken into account. */
export function scalePlace({ toPicture, patchSize }: ChartPlace, factor: number): ChartPlace {
  const h = toPicture;
  const shift = (factor - 1) / 2;
  const row = (a: number, b: number, c: number): [number, number, number] => [
    a * factor + shift * h[6],
    b * factor + shift * h[7],
    c * factor + shift * h[8],
  ];
  return {
    toPicture: [
      ...row(h[0], h[1], h[2]),
      ...row(h[3], h[4], h[5]),
      h[6],
      h[7],
      h[8],
    ] as unknown as Homography,
    patchSize,
  };
}

/** The same place in a picture that begins so many pixels farther to the left and up. */
export function movePlace({ toPicture: h, patchSize }: ChartPlace, dx: number, dy: number): ChartPlace {
  const moved = [
    h[0] + dx * h[6],
    h[1] + dx * h[7],
    h[2] + dx * h[8],
    h[3] + dy * h[6],
    h[4] + dy * h[7],
    h[5] + dy * h[8],
    h[6],
    h[7],
    h[8],
  ];
  return { toPicture: moved as unknown as Homography, patchSize };
}

/** Colour of a picture between its pixels. */
export function sampleBilinear(
  { width, height, planes }: Planes,
  x: number,
  y: number,
  out: Float64Array,
  at: number,
): void {
  const cx = Math.min(Math.max(x, 0), width - 1.001);
  const cy = Math.min(Math.max(y, 0), height - 1.001);
  const x0 = cx | 0;
  const y0 = cy | 0;
  const fx = cx - x0;
  const fy = cy - y0;
  const i = y0 * width + x0;
  for (let c = 0; c < 3; c++) {
    const p = planes[c]!;
    const top = p[i]! + (p[i + 1]! - p[i]!) * fx;
    const low = p[i + width]! + (p[i + width + 1]! - p[i + width]!) * fx;
    out[at + c] = top + (low - top) * fy;
  }
}

/** What lies at a place, by its colours; likeness 0 where it cannot be a chart. */
export function judgePlace(picture: Planes, place: ChartPlace): ColourVerdict {
  const colours = new Float64Array(72);
  if (!sampleCentres(picture, place.toPicture, colours, 0.2)) return { likeness: 0, hidden: [] };
  return judgeChartColours(colours);
}

/** Colours about the middles of the 24 patches; false where one of them lies outside the picture. */
export function sampleCentres(picture: Planes, h: Homography, out: Float64Array, spread: number): boolean {
  const one = new Float64Array(3);
  for (let i = 0; i < 24; i++) {
    const [c0, r0] = [i % chart24Columns, Math.floor(i / chart24Columns)];
    const [mx, my] = project(h, [c0, r0]);
    if (!(mx >= 0 && my >= 0 && mx <= picture.width - 1 && my <= picture.height - 1)) return false;
    for (let c = 0; c < 3; c++) out[i * 3 + c] = 0;
    for (let k = 0; k < 9; k++) {
      const [x, y] = project(h, [c0 + ((k % 3) - 1) * spread, r0 + (Math.floor(k / 3) - 1) * spread]);
      sampleBilinear(picture, x, y, one, 0);
      for (let c = 0; c < 3; c++) out[i * 3 + c] = out[i * 3 + c]! + one[c]! / 9;
    }
  }
  return true;
}

/** Samples to a unit of the flattened chart. */
const unit = 24;
/** Scan lines to each side of a patch's middle that an edge is averaged over, in samples. */
const halfBand = 4;
/** Least step in code value between a patch and its frame that counts as an edge. */
const leastStep = 0.012;

/**
 * Moves a rough place on to the patches' own edges, to a few hundredths of a patch.
 *
 * The chart is flattened by the rough place; on each side of each patch the distance of colour from the patch's
 * middle is followed outwards, and the edge is where it first reaches half of what it has in the gap. The middles
 * between opposite edges give a new perspective, outliers (a thumb, a dark patch on a dark frame) left out.
 */
export function refineChartPlace(picture: Planes, rough: ChartPlace, rounds = 3): ChartPlace {
  let place = rough;
  for (let round = 0; round < rounds; round++) {
    const next = refineOnce(picture, place);
    if (!next) break;
    place = next;
  }
  return place;
}

function refineOnce(picture: Planes, place: ChartPlace): ChartPlace | null {
  const reach = Math.round(0.72 * unit);
  const profile = new Float64Array(reach + 1);
  const colour = new Float64Array(3);
  const centre = new Float64Array(3);
  const look = (x: number, y: number, out: Float64Array): void => {
    const [px, py] = project(place.toPicture, [x, y]);
    sampleBilinear(picture, px, py, out, 0);
  };
  const from: Point[] = [];
  const to: Point[] = [];
  const widths: number[] = [];
  const heights: number[] = [];
  for (let row = 0; row < chart24Rows; row++) {
    for (let column = 0; column < chart24Columns; column++) {
      centre.fill(0);
      for (let k = 0; k < 25; k++) {
        look(column + ((k % 5) - 2) * 0.08, row + (Math.floor(k / 5) - 2) * 0.08, colour);
        for (let c = 0; c < 3; c++) centre[c] = centre[c]! + colour[c]! / 25;
      }
      const edge = (dx: number, dy: number): number | null => {
        for (let s = 0; s <= reach; s++) {
          colour.fill(0);
          const sum = [0, 0, 0];
          for (let t = -halfBand; t <= halfBand; t += 2) {
            look(column + (dx * s + dy * t) / unit, row + (dy * s + dx * t) / unit, colour);
            for (let c = 0; c < 3; c++) sum[c] = sum[c]! + colour[c]!;
          }
          const n = halfBand + 1;
          profile[s] = Math.hypot(
            sum[0]! / n - centre[0]!,
            sum[1]! / n - centre[1]!,
            sum[2]! / n - centre[2]!,
          );
        }
        // What the gap differs by: the first crest, or its value where the gap should be.
        let crest = Math.round(0.36 * unit);
        for (let s = crest; s < reach; s++) {
          if (profile[s]! > profile[crest]!) crest = s;
          else if (profile[s]! < 0.85 * profile[crest]! && profile[crest]! > leastStep) break;
        }
        const gap = Math.min(profile[crest]!, profile[Math.round(0.5 * unit)]! * 1.5 + 1e-9);
        if (gap < leastStep) return null;
        for (let s = 1; s <= reach; s++) {
          if (profile[s]! >= gap / 2) {
            const part = (gap / 2 - profile[s - 1]!) / Math.max(profile[s]! - profile[s - 1]!, 1e-9);
            return (s - 1 + Math.min(1, Math.max(0, part))) / unit;
          }
        }
        return null;
      };
      const [right, left, low, high] = [edge(1, 0), edge(-1, 0), edge(0, 1), edge(0, -1)];
      if (right === null || left === null || low === null || high === null) continue;
      const width = left + right;
      const height = low + high;
      if (width < 0.5 || width > 1.02 || height < 0.5 || height > 1.02) continue;
      widths.push(width);
      heights.push(height);
      from.push([column, row]);
      to.push(project(place.toPicture, [column + (right - left) / 2, row + (low - high) / 2]));
    }
  }
  if (from.length < 8) return null;
  const fitted = robustHomography(from, to);
  if (!fitted) return null;
  return { toPicture: fitted, patchSize: [median(widths), median(heights)] };
}

/** A perspective that the odd wrong point cannot bend: fit, drop what lies far off, fit again. */
export function robustHomography(from: readonly Point[], to: readonly Point[]): Homography | null {
  let keep = from.map((_, i) => i);
  let h: Homography | null = null;
  for (let round = 0; round < 4; round++) {
    h = fitHomography(
      keep.map((i) => from[i]!),
      keep.map((i) => to[i]!),
    );
    if (!h) return null;
    const fit = h;
    const errors = from.map((p, i) => {
      const [x, y] = project(fit, p);
      return Math.hypot(x - to[i]![0], y - to[i]![1]);
    });
    const limit = Math.max(2.5 * median(keep.map((i) => errors[i]!)), 0.05);
    const next = from.map((_, i) => i).filter((i) => errors[i]! <= limit);
    if (next.length < 6 || next.length === keep.length) break;
    keep = next;
  }
  return h;
}

/** The middle value; of an even number, the mean of the two in the middle; NaN of none. */
export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const n = sorted.length;
  return n === 0
    ? Number.NaN
    : n % 2 === 1
      ? sorted[(n - 1) / 2]!
      : (sorted[n / 2 - 1]! + sorted[n / 2]!) / 2;
}
