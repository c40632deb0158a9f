import { chart24Columns, chart24Rows } from "#science/colour/chart24";
import { chartLikeness, judgeChartColours } from "./chart-colours.ts";
import {
  type ChartPlace,
  judgePlace,
  refineChartPlace,
  robustHomography,
  sampleBilinear,
  sampleCentres,
  scalePlace,
} from "./chart-place.ts";
import { shadedLikeness } from "./chart-shade.ts";
import { judgeCutChart } from "./cut-chart.ts";
import type { Homography, Point } from "./homography.ts";
import { findPatchCandidates } from "./patch-candidates.ts";
import { findPatchLattices, type PatchLattice } from "./patch-lattice.ts";
import { blurPlanes, halvePlanes, type Planes, toPlanes } from "./planes.ts";

/** A chart found in a picture. */
export interface ChartFind {
  readonly place: ChartPlace;
  /** How much of the patches' colours the published ones explain, 0 to 1: see {@link chartLikeness}. */
  readonly likeness: number;
  /** Patches that something lies over. */
  readonly hidden: readonly number[];
  /** Patches that lie outside the picture; not there where the whole chart is in it. */
  readonly outside?: readonly number[];
}

/** Pictures are shrunk to about this first: at it, a chart of 8 % of the width has patches of seven pixels. */
const workingWidth = 640;
/** Worth refining. */
const roughLikeness = 0.62;
/** Cells of a grid that a chart must lie on to be worth a look. */
const leastInside = 10;
/** So like a chart that nothing better need be looked for. */
const plainLikeness = 0.93;
/** Sure enough to be called a chart. */
const sureLikeness = 0.86;
/** The same of a chart that a shadow's edge lies across: more is free to fit, so more is asked. */
const sureShaded = 0.94;
const roughShaded = 0.8;
/** The same of a chart that the picture's edge cuts: fewer patches are there to agree. */
const sureCut = 0.9;
const cutPenalty = 0.004;
const roughCut = 0.8;
/** The fewer patches are in sight, the better they must agree. */
const hiddenPenalty = 0.008;

/**
 * Finds the 24-patch chart in a picture, wherever it lies and however it is turned, or says that there is none.
 *
 * Even areas shaped like patches are looked for at three sizes of the picture; those that lie on a bent grid are
 * laid over the chart's six by four in every position and all four directions; the colours decide which, and
 * whether it is a chart at all. One that the picture's edge cuts is found by the patches that are in the picture, if
 * no whole one is.
 *
 * @param picture - Code values as displayed, 8 or 16 bits.
 * @returns The place in this picture's own pixels, or null.
 */
export function findChart(picture: {
  readonly width: number;
  readonly height: number;
  readonly rgb: Uint8Array | Uint16Array;
}): ChartFind | null {
  const shrink = Math.max(1, Math.floor(picture.width / workingWidth + 0.25));
  const base = toPlanes(picture, shrink);
  let best: ChartFind | null = null;
  let cut: ChartFind | null = null;
  const colours = new Float64Array(72);
  let level = base;
  for (let factor = 1; level.width >= 120; factor *= 2) {
    const soft = blurPlanes(level);
    for (const lattice of findPatchLattices(findPatchCandidates(soft))) {
      const found = chartOnLattice(soft, lattice);
      if (!found) continue;
      const place = refineChartPlace(base, scalePlace(found, factor));
      const { likeness: partly, outside } = judgeCutChart(base, place);
      if (partly > 0) {
        if (partly >= sureCut + cutPenalty * outside.length && partly > (cut?.likeness ?? 0))
          cut = { place: scalePlace(place, shrink), likeness: partly, hidden: [], outside };
        continue;
      }
      const { likeness, hidden } = judgePlace(base, place);
      if (likeness >= sureLikeness + hiddenPenalty * hidden.length && likeness > (best?.likeness ?? 0)) {
        best = { place: scalePlace(place, shrink), likeness, hidden };
      } else if (!best && sampleCentres(base, place.toPicture, colours, 0.2)) {
        const shaded = shadedLikeness(colours);
        if (shaded >= sureShaded) best = { place: scalePlace(place, shrink), likeness: shaded, hidden: [] };
      }
      if (likeness >= plainLikeness) break;
    }
    if (best || factor >= 4) break;
    level = halvePlanes(level);
  }
  return best ?? cut;
}

/** The best way to lay a chart over a grid, or null where none is like one. */
function chartOnLattice(picture: Planes, { cells }: PatchLattice): ChartPlace | null {
  const at = new Map(cells.map((cell) => [cell.column * 256 + cell.row, cell]));
  const colourAt = new Map(
    cells.map((cell) => {
      const colour = new Float64Array(3);
      sampleBilinear(picture, cell.patch.x, cell.patch.y, colour, 0);
      return [cell, colour];
    }),
  );
  const columns = cells.map(({ column }) => column);
  const rows = cells.map(({ row }) => row);
  const [left, right] = [Math.min(...columns), Math.max(...columns)];
  const [top, low] = [Math.min(...rows), Math.max(...rows)];
  const colours = new Float64Array(72);
  const known = new Uint8Array(24);
  const hopeful: { likeness: number; turn: number; column: number; row: number }[] = [];
  for (let turn = 0; turn < 4; turn++) {
    const wide = turn % 2 === 0 ? chart24Columns : chart24Rows;
    const tall = turn % 2 === 0 ? chart24Rows : chart24Columns;
    // The grid may have missed an outer row or two.
    for (let row = Math.min(top, low - tall + 1) - 1; row <= Math.max(top, low - tall + 1) + 1; row++) {
      for (
        let column = Math.min(left, right - wide + 1) - 1;
        column <= Math.max(left, right - wide + 1) + 1;
        column++
      ) {
        let inside = 0;
        for (let i = 0; i < 24; i++) {
          const [gx, gy] = onGrid(turn, column, row, i % chart24Columns, Math.floor(i / chart24Columns));
          const cell = at.get(gx * 256 + gy);
          known[i] = cell ? 1 : 0;
          if (!cell) continue;
          inside++;
          colours.set(colourAt.get(cell)!, i * 3);
        }
        if (inside < leastInside || !greysMayFall(colours, known)) continue;
        const likeness = chartLikeness(colours, known);
        if (likeness > roughLikeness) hopeful.push({ likeness: likeness + inside / 240, turn, column, row });
      }
    }
  }
  hopeful.sort((a, b) => b.likeness - a.likeness);
  let cut: Homography | null = null;
  for (const { turn, column, row } of hopeful.slice(0, 4)) {
    const from: Point[] = [];
    const to: Point[] = [];
    for (let i = 0; i < 24; i++) {
      const [c, r] = [i % chart24Columns, Math.floor(i / chart24Columns)];
      const [gx, gy] = onGrid(turn, column, row, c, r);
      const cell = at.get(gx * 256 + gy);
      if (!cell) continue;
      from.push([c, r]);
      to.push([cell.patch.x, cell.patch.y]);
    }
    const toPicture = robustHomography(from, to);
    if (!toPicture) continue;
    if (!sampleCentres(picture, toPicture, colours, 0)) {
      if (judgeCutChart(picture, { toPicture }).likeness > roughCut) cut ??= toPicture;
      continue;
    }
    if (judgeChartColours(colours).likeness > roughLikeness || shadedLikeness(colours) > roughShaded)
      return { toPicture, patchSize: [0.85, 0.85] };
  }
  return cut && { toPicture: cut, patchSize: [0.85, 0.85] };
}

/** A cheap look before the dear one: the known greys do not rise, but for once at a shadow's edge. */
function greysMayFall(colours: Float64Array, known: Uint8Array): boolean {
  let before = Number.POSITIVE_INFINITY;
  let rises = 0;
  for (let i = 18; i < 24; i++) {
    if (known[i] === 0) continue;
    const luma = colours[i * 3]! + 2 * colours[i * 3 + 1]! + colours[i * 3 + 2]!;
    if (luma > before + 0.04 && ++rises > 1) return false;
    before = luma;
  }
  return true;
}

/** Place of the chart's patch (column, row) on the grid, the chart turned by `turn` quarters and moved. */
function onGrid(turn: number, column: number, row: number, c: number, r: number): Point {
  if (turn === 0) return [column + c, row + r];
  if (turn === 1) return [column + (chart24Rows - 1 - r), row + c];
  if (turn === 2) return [column + (chart24Columns - 1 - c), row + (chart24Rows - 1 - r)];
  return [column + r, row + (chart24Columns - 1 - c)];
}
