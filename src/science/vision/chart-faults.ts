import { findCameraCurve } from "#science/colour/camera-curve";
import { chartWhite, fitReferenceView } from "#science/colour/chart-reference";
import { type ChartShot, evenedLight, throughCurve } from "#science/colour/chart-shot";
import { chart24Columns, chart24Neutrals, chart24Rows, chart24Xyz } from "#science/colour/chart24";
import { leastSquares } from "#science/colour/linear-solve";
import type { Triple } from "#science/colour/matrix3";
import { median } from "./chart-place.ts";

/** What spoils the light on a chart besides an even fall-off. */
export interface ChartFaults {
  /** Light added at a place of the frame, as a part of white, where it is more than a shine of matt card; and the patch nearest. */
  readonly glare: { readonly patch: number; readonly partOfWhite: number } | null;
  /** A line with darker patches to one side of it. */
  readonly shadow: { readonly patches: readonly number[]; readonly stops: number } | null;
}

/** Less lift than this is the camera's own flare and the frame's print. */
const leastGlare = 0.035;
/** A smaller step is the chart's print and the mix. */
const leastShadowStops = 0.3;
/** Of what a slope leaves, a shadow has to explain so much. */
const shadowExplains = 0.5;
const leastSide = 4;

/**
 * Looks for glare by the frame, which is equally dark all over, and for the edge of a shadow by what a slope of light
 * leaves in the patches' luminance against the published one.
 *
 * @param shot - As for a match; its illumination, if any, is taken off before glare is looked for.
 * @param frame - Code values at the 7 × 5 crossings of the frame; null where they could not be read.
 */
export function findChartFaults(shot: ChartShot, frame: readonly Triple[] | null): ChartFaults {
  const { curve } = findCameraCurve(shot);
  const lights = evenedLight(shot, curve);
  const unusable = new Set(shot.unusable ?? []);
  const white = chartWhite(lights);
  const view = fitReferenceView(lights, unusable);
  const misses = lights.map((light, i) => {
    const seen = view.toXyz(light)[1] * (shot.illumination?.[i] ?? 1);
    return seen > 0 && i !== 23 && !unusable.has(i) ? Math.log2(seen / chart24Xyz[i]![1]) : null;
  });
  return {
    glare: frame
      ? glareOn(
          frame.map((code) => throughCurve(curve, code)),
          white,
          shot.illumination,
          unusable,
        )
      : null,
    shadow: shadowOn(misses),
  };
}

/** The frame's crossing that is lifted most beyond the frame's usual light. */
function glareOn(
  frame: readonly Triple[],
  white: Triple,
  illumination: readonly number[] | undefined,
  covered: ReadonlySet<number>,
): ChartFaults["glare"] {
  const across = chart24Columns + 1;
  const lifts = frame.map((light, k) => {
    const near = patchesAt(k % across, Math.floor(k / across));
    const on = near.reduce((sum, i) => sum + (illumination?.[i] ?? 1), 0) / near.length;
    return {
      near,
      light: near.some((i) => covered.has(i)) ? null : light.map((v, c) => v / white[c]! / on),
    };
  });
  const inSight = lifts.filter((l) => l.light !== null);
  if (inSight.length < 12) return null;
  const usual = [0, 1, 2].map((c) => median(inSight.map((l) => l.light![c]!)));
  // Glare is the light's own reflection: all channels are lifted.
  const liftOf = (l: (typeof inSight)[number]): number => Math.min(...l.light!.map((v, c) => v - usual[c]!));
  const usualMiss = median(inSight.map((l) => Math.abs(liftOf(l))));
  const worst = inSight.reduce((p, q) => (liftOf(q) > liftOf(p) ? q : p));
  const lift = liftOf(worst);
  return lift > Math.max(leastGlare, 5 * usualMiss) ? { patch: worst.near[0]!, partOfWhite: lift } : null;
}

/** Patches that touch a crossing of the frame. */
function patchesAt(column: number, row: number): number[] {
  const out: number[] = [];
  for (const r of [row - 1, row]) {
    for (const c of [column - 1, column]) {
      if (r >= 0 && c >= 0 && r < chart24Rows && c < chart24Columns) out.push(r * chart24Columns + c);
    }
  }
  return out;
}

/** The straight edge that explains the misses best besides a slope; null where none does. */
function shadowOn(misses: readonly (number | null)[]): ChartFaults["shadow"] {
  const known = misses.flatMap((miss, i) => (miss === null ? [] : [i]));
  const at = (i: number): readonly [number, number] => [i % chart24Columns, Math.floor(i / chart24Columns)];
  const slope = (i: number): number[] => [1, at(i)[0] - 2.5, at(i)[1] - 1.5];
  const wanted = known.map((i) => misses[i]!);
  const left = (rows: number[][], fit: ArrayLike<number> | null): number =>
    fit
      ? rows.reduce((sum, row, k) => {
          const miss = wanted[k]! - row.reduce((s, v, c) => s + v * fit[c]!, 0);
          return sum + miss * miss;
        }, 0)
      : Number.POSITIVE_INFINITY;
  const plain = known.map(slope);
  const before = left(plain, leastSquares(plain, wanted));
  let best: { left: number; stops: number; patches: number[] } | null = null;
  for (let angle = 0; angle < 16; angle++) {
    const [dx, dy] = [Math.cos((angle * Math.PI) / 16), Math.sin((angle * Math.PI) / 16)];
    const along = known.map((i) => at(i)[0] * dx + at(i)[1] * dy);
    const cuts = [...new Set(along.map((v) => Math.round(1e6 * v) / 1e6))].sort((a, b) => a - b);
    for (let k = 1; k < cuts.length; k++) {
      const cut = (cuts[k - 1]! + cuts[k]!) / 2;
      const over = along.map((v) => (v > cut ? 1 : 0));
      const n = over.reduce<number>((sum, v) => sum + v, 0);
      if (n < leastSide || known.length - n < leastSide) continue;
      const rows = known.map((i, j) => [...slope(i), over[j]!]);
      const fit = leastSquares(rows, wanted);
      const after = left(rows, fit);
      if (!fit || after >= (best?.left ?? before)) continue;
      const stops = fit[3]!;
      best = {
        left: after,
        stops: Math.abs(stops),
        patches: known.filter((_, j) => (over[j] === 1) === stops < 0),
      };
    }
  }
  if (!best || best.stops < leastShadowStops || best.left > (1 - shadowExplains) * before) return null;
  return { patches: best.patches, stops: best.stops };
}

/**
 * Stops by which a shot of the chart is too bright: where white would lie if the range went on, by the greys below.
 *
 * @param clipped - Patches at the top of the range.
 * @returns 0 where white is not clipped or too few greys are left to tell.
 */
export function stopsOverRange(codes: readonly Triple[], clipped: ReadonlySet<number>): number {
  const greys = chart24Neutrals.filter((i) => i !== 23 && !clipped.has(i));
  const [light, dark] = greys;
  if (light === undefined || dark === undefined || light === 18) return 0;
  const stopsBetween = (p: number, q: number): number => Math.log2(chart24Xyz[p]![1] / chart24Xyz[q]![1]);
  const over = [0, 1, 2].map((c) => {
    const slope = (codes[light]![c]! - codes[dark]![c]!) / stopsBetween(light, dark);
    return slope > 0 ? stopsBetween(18, light) - (1 - codes[light]![c]!) / slope : 0;
  });
  return Math.max(0, ...over);
}
