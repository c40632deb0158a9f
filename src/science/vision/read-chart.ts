import { chart24Columns } from "#science/colour/chart24";
import type { Triple } from "#science/colour/matrix3";
import {
  type ChartPlace,
  chartCorners,
  judgePlace,
  median,
  movePlace,
  refineChartPlace,
  sampleBilinear,
  sampleCentres,
  scalePlace,
} from "./chart-place.ts";
import { shadedLikeness } from "./chart-shade.ts";
import { judgeCutChart } from "./cut-chart.ts";
import { type Point, project } from "./homography.ts";
import { toPlanes } from "./planes.ts";
import { chartEdgeWidth, expectedCode, isFrameCovered, readChartFrame } from "./read-chart-frame.ts";

/** A chart read from one exact frame. */
export interface ChartReading {
  /** In the frame's own pixels. */
  readonly place: ChartPlace;
  readonly corners: readonly [Point, Point, Point, Point];
  /** Code values of the 24 patches, in order. */
  readonly codes: readonly Triple[];
  /** Largest share of a patch's samples, per patch, at or over the top of the range in one channel. */
  readonly clippedShare: readonly number[];
  /** The same at or under the bottom. */
  readonly crushedShare: readonly number[];
  /** Mean side of a patch, pixels. */
  readonly patchPixels: number;
  readonly likeness: number;
  /** Patches that something lies over; their code values are what the rest says that they would be. */
  readonly hidden?: readonly number[];
  /** Patches outside the picture; the same is done for their code values. Not there where the whole chart is in it. */
  readonly outside?: readonly number[];
  /** Code values of the chart's frame at the 7 × 5 crossings of its gaps, row by row; null where the gaps are too narrow to read. */
  readonly frame?: readonly Triple[] | null;
  /** From a tenth to nine tenths of a patch's edge, as a part of the patch: 0 is sharp. */
  readonly edgeWidth?: number;
}

/** What is less like a chart than this is none. */
const leastLikeness = 0.8;
/** Side of the middle square of a patch that is read, as a part of the patch. */
const readPart = 0.5;
const grid = 14;
/** Of a patch's samples this part is dropped at each end: dust, a scratch, a reflection. */
const trimmed = 0.15;
/** Frames are read so large that a patch is about this many pixels; larger ones are averaged down, which quiets noise. */
const readingPatch = 40;

/**
 * Reads the chart in an exact frame: edges found anew, each patch the trimmed mean of its middle.
 *
 * @param picture - Code values, full size.
 * @param rough - Where the chart is, within a third of a patch.
 * @returns null where what lies there does not read like a chart.
 */
export function readChart(
  picture: { readonly width: number; readonly height: number; readonly rgb: Uint8Array | Uint16Array },
  rough: ChartPlace,
): ChartReading | null {
  const roughPatch = patchPixelsOf(rough);
  const shrink = Math.max(1, Math.floor(roughPatch / readingPatch));
  const planes = cropAbout(picture, rough, shrink);
  if (!planes) return null;
  const local = refineChartPlace(
    planes.picture,
    movePlace(scalePlace(rough, 1 / shrink), -planes.x, -planes.y),
    4,
  );
  const cut = judgeCutChart(planes.picture, local);
  const { outside } = cut;
  const { hidden, ...plain } =
    outside.length > 0 ? { hidden: [], likeness: cut.likeness } : judgePlace(planes.picture, local);
  let { likeness } = plain;
  if (likeness < leastLikeness) {
    const colours = new Float64Array(72);
    if (sampleCentres(planes.picture, local.toPicture, colours, 0.2)) likeness = shadedLikeness(colours);
    if (likeness < leastLikeness) return null;
  }
  const codes: Triple[] = [];
  const clippedShare: number[] = [];
  const crushedShare: number[] = [];
  const one = new Float64Array(3);
  const [w, h] = local.patchSize;
  for (let i = 0; i < 24; i++) {
    const channels: [number[], number[], number[]] = [[], [], []];
    for (let gy = 0; gy < grid; gy++) {
      for (let gx = 0; gx < grid; gx++) {
        const [x, y] = project(local.toPicture, [
          (i % chart24Columns) + ((gx + 0.5) / grid - 0.5) * w * readPart,
          Math.floor(i / chart24Columns) + ((gy + 0.5) / grid - 0.5) * h * readPart,
        ]);
        sampleBilinear(planes.picture, x, y, one, 0);
        for (let c = 0; c < 3; c++) channels[c]!.push(one[c]!);
      }
    }
    const n = grid * grid;
    clippedShare.push(Math.max(...channels.map((v) => v.filter((s) => s >= 0.995).length / n)));
    crushedShare.push(Math.max(...channels.map((v) => v.filter((s) => s <= 0.002).length / n)));
    codes.push(channels.map(trimmedMean) as unknown as Triple);
  }
  const place = scalePlace(movePlace(local, planes.x, planes.y), shrink);
  const frame = readChartFrame(planes.picture, local, patchPixelsOf(local));
  const covered = hidden.filter((i) => frame === null || isFrameCovered(frame, i));
  const unseen = [...covered, ...outside];
  for (const i of unseen) {
    codes[i] = expectedCode(codes, i, unseen);
    clippedShare[i] = 0;
    crushedShare[i] = 0;
  }
  return {
    hidden: covered,
    ...(outside.length > 0 ? { outside } : {}),
    frame,
    edgeWidth: chartEdgeWidth(planes.picture, local),
    place,
    corners: chartCorners(place),
    codes,
    clippedShare,
    crushedShare,
    patchPixels: patchPixelsOf(place),
    likeness,
  };
}

/** Side of a patch in the middle of the chart, pixels. */
export function patchPixelsOf({ toPicture, patchSize }: ChartPlace): number {
  const [a, b, c] = [
    project(toPicture, [2, 1.5]),
    project(toPicture, [3, 1.5]),
    project(toPicture, [2.5, 1]),
  ];
  const d = project(toPicture, [2.5, 2]);
  return (
    (Math.hypot(a[0] - b[0], a[1] - b[1]) * patchSize[0] +
      Math.hypot(c[0] - d[0], c[1] - d[1]) * patchSize[1]) /
    2
  );
}

/** The part of a picture about a chart, shrunk; `x` and `y` are where it begins, in shrunk pixels. */
function cropAbout(
  picture: { readonly width: number; readonly height: number; readonly rgb: Uint8Array | Uint16Array },
  place: ChartPlace,
  shrink: number,
) {
  const corners = [
    [-1.1, -1.1],
    [6.1, -1.1],
    [6.1, 4.1],
    [-1.1, 4.1],
  ].map((p) => project(place.toPicture, p as unknown as Point));
  const xs = corners.map((p) => p[0]);
  const ys = corners.map((p) => p[1]);
  if ([...xs, ...ys].some((v) => !Number.isFinite(v))) return null;
  const snap = (v: number): number => Math.floor(v / shrink) * shrink;
  const left = Math.max(0, snap(Math.min(...xs)));
  const top = Math.max(0, snap(Math.min(...ys)));
  const right = Math.min(picture.width, Math.ceil(Math.max(...xs)));
  const low = Math.min(picture.height, Math.ceil(Math.max(...ys)));
  const [width, height] = [right - left, low - top];
  if (width < 24 || height < 16) return null;
  const rgb =
    picture.rgb instanceof Uint16Array
      ? new Uint16Array(width * height * 3)
      : new Uint8Array(width * height * 3);
  for (let y = 0; y < height; y++) {
    const from = ((top + y) * picture.width + left) * 3;
    rgb.set(picture.rgb.subarray(from, from + width * 3), y * width * 3);
  }
  return { picture: toPlanes({ width, height, rgb }, shrink), x: left / shrink, y: top / shrink };
}

function trimmedMean(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const drop = Math.floor(sorted.length * trimmed);
  const kept = sorted.slice(drop, sorted.length - drop);
  return kept.reduce((sum, v) => sum + v, 0) / kept.length;
}

/** One reading from several of a chart that stood still: corners by the median, codes by the mean. */
export function averageReadings(readings: readonly ChartReading[]): ChartReading {
  const first = readings[0]!;
  const mean = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / values.length;
  // A patch that left the picture in one of them cannot be averaged.
  const outside = [...new Set(readings.flatMap((r) => r.outside ?? []))].sort((p, q) => p - q);
  return {
    ...first,
    ...(outside.length > 0 ? { outside } : {}),
    corners: first.corners.map((_, k) => [
      median(readings.map((r) => r.corners[k]![0])),
      median(readings.map((r) => r.corners[k]![1])),
    ]) as unknown as [Point, Point, Point, Point],
    codes: first.codes.map((_, i) =>
      [0, 1, 2].map((c) => mean(readings.map((r) => r.codes[i]![c]!))),
    ) as unknown as Triple[],
    clippedShare: first.clippedShare.map((_, i) => mean(readings.map((r) => r.clippedShare[i]!))),
    crushedShare: first.crushedShare.map((_, i) => mean(readings.map((r) => r.crushedShare[i]!))),
    patchPixels: mean(readings.map((r) => r.patchPixels)),
    likeness: mean(readings.map((r) => r.likeness)),
    hidden: first.codes
      .map((_, i) => i)
      .filter((i) => 2 * readings.filter((r) => r.hidden?.includes(i)).length >= readings.length),
    edgeWidth: median(readings.map((r) => r.edgeWidth ?? 0)),
  };
}

/** Farthest that a corner of the one lies from the other's, in patches. */
export function cornersApart(a: ChartReading, b: ChartReading): number {
  return (
    Math.max(...a.corners.map((p, k) => Math.hypot(p[0] - b.corners[k]![0], p[1] - b.corners[k]![1]))) /
    a.patchPixels
  );
}
