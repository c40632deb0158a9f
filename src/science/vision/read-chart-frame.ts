import { chart24Columns, chart24Neutrals, chart24Rows } from "#science/colour/chart24";
import { leastSquares } from "#science/colour/linear-solve";
import type { Triple } from "#science/colour/matrix3";
import { chart24Srgb } from "./chart-colours.ts";
import { type ChartPlace, median, sampleBilinear } from "./chart-place.ts";
import { project } from "./homography.ts";
import type { Planes } from "./planes.ts";

/** A gap narrower than this, pixels, is more its neighbours than itself. */
const leastGapPixels = 2.5;

/** Colours at the crossings of the gaps, outer ones included: 7 across, 5 down. */
export function readChartFrame(picture: Planes, place: ChartPlace, patchPixels: number): Triple[] | null {
  const [w, h] = place.patchSize;
  const gap = 1 - (w + h) / 2;
  if ((gap * patchPixels) / w < leastGapPixels) return null;
  const one = new Float64Array(3);
  const out: Triple[] = [];
  for (let row = 0; row <= chart24Rows; row++) {
    for (let column = 0; column <= chart24Columns; column++) {
      const sum = [0, 0, 0];
      for (let k = 0; k < 9; k++) {
        const [x, y] = project(place.toPicture, [
          column - 0.5 + ((k % 3) - 1) * 0.2 * gap,
          row - 0.5 + (Math.floor(k / 3) - 1) * 0.2 * gap,
        ]);
        sampleBilinear(picture, x, y, one, 0);
        for (let c = 0; c < 3; c++) sum[c] = sum[c]! + one[c]! / 9;
      }
      out.push([sum[0]!, sum[1]!, sum[2]!]);
    }
  }
  return out;
}

/** Crossings of the frame at the corners of a patch. */
export function crossingsOf(patch: number): number[] {
  const [c, r] = [patch % chart24Columns, Math.floor(patch / chart24Columns)];
  const first = r * (chart24Columns + 1) + c;
  return [first, first + 1, first + chart24Columns + 1, first + chart24Columns + 2];
}

/** Least distance in code value from the frame's usual colour that says that something lies over it. */
const leastCover = 0.05;

/** Whether the frame beside a patch is unlike the rest of it: what covers a patch came over its frame. */
export function isFrameCovered(frame: readonly Triple[], patch: number): boolean {
  const usual = [0, 1, 2].map((c) => median(frame.map((f) => f[c]!)));
  const misses = frame.map((f) => Math.hypot(f[0] - usual[0]!, f[1] - usual[1]!, f[2] - usual[2]!));
  const limit = Math.max(leastCover, 4 * median(misses));
  return crossingsOf(patch).some((k) => misses[k]! > limit);
}

/**
 * The code value that a patch out of sight would have: a grey on the bend through its nearest neighbours among the
 * greys, a colour by least squares of the published colours against those in sight.
 *
 * @param hidden - All that are out of sight.
 */
export function expectedCode(codes: readonly Triple[], patch: number, hidden: readonly number[]): Triple {
  const isGrey = chart24Neutrals.includes(patch);
  const seen = codes.map((_, i) => i).filter((i) => !hidden.includes(i));
  const greys = seen.filter((i) => chart24Neutrals.includes(i));
  const from = isGrey
    ? [...greys].sort((p, q) => Math.abs(p - patch) - Math.abs(q - patch)).slice(0, 3)
    : seen;
  // Three greys make a bend, which a logarithmic curve has at its ends; two a line.
  const isBent = from.length > 2;
  const design = (i: number): number[] =>
    isGrey
      ? [1, chart24Srgb[i]![1], ...(isBent ? [chart24Srgb[i]![1] ** 2] : [])]
      : [1, chart24Srgb[i]![0], chart24Srgb[i]![1], chart24Srgb[i]![2]];
  const code = [0, 1, 2].map((c) => {
    const fit = leastSquares(
      from.map(design),
      from.map((i) => codes[i]![c]!),
    );
    return fit ? design(patch).reduce((sum, v, k) => sum + v * fit[k]!, 0) : codes[patch]![c]!;
  });
  return code.map((v) => Math.min(1, Math.max(0, v))) as unknown as Triple;
}

/** How wide the patches' edges are, from a tenth to nine tenths, as a part of a patch; the median over clear edges. */
export function chartEdgeWidth(picture: Planes, place: ChartPlace): number {
  const [w] = place.patchSize;
  const samples = 49;
  const reach = 0.36;
  const one = new Float64Array(3);
  const widths: number[] = [];
  for (let row = 0; row < chart24Rows; row++) {
    for (let column = 0; column < chart24Columns; column++) {
      for (const side of [-1, 1]) {
        const profile = Array.from({ length: samples }, (_, k) => {
          const along = side * (w / 2 + reach * (k / (samples - 1) - 0.75));
          let sum = 0;
          for (let t = -2; t <= 2; t++) {
            const [x, y] = project(place.toPicture, [column + along, row + t * 0.08]);
            sampleBilinear(picture, x, y, one, 0);
            sum += one[0]! + one[1]! + one[2]!;
          }
          return sum / 15;
        });
        const inside = profile[0]!;
        // The gap's own colour, or as near as a soft edge comes to it.
        const outside = profile.at(-1)!;
        const step = outside - inside;
        if (Math.abs(step) < 0.06) continue;
        const cross = (part: number): number => {
          const k = profile.findIndex((v) => (v - inside) / step >= part);
          const before = (profile[k - 1]! - inside) / step;
          const here = (profile[k]! - inside) / step;
          return k < 1 ? 0 : k - 1 + (part - before) / Math.max(here - before, 1e-9);
        };
        widths.push(((cross(0.9) - cross(0.1)) * reach) / (samples - 1) / w);
      }
    }
  }
  return widths.length > 3 ? median(widths) : 0;
}
