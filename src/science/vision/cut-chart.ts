import { chart24Columns, chart24Neutrals } from "#science/colour/chart24";
import { chartLikeness, neutralsFall } from "./chart-colours.ts";
import { type ChartPlace, sampleBilinear } from "./chart-place.ts";
import { type Homography, type Point, project } from "./homography.ts";
import type { Planes } from "./planes.ts";

/** What a chart that reaches out of the picture shows of itself. */
export interface CutVerdict {
  /** See `chartLikeness`, of the patches in the picture; 0 where they cannot be a chart's. */
  readonly likeness: number;
  /** Patches that lie outside the picture, wholly or in part. */
  readonly outside: readonly number[];
}

/** A side of the picture. */
export type PictureSide = "left" | "right" | "top" | "bottom";

/** With fewer patches in the picture than this there is too little to know a chart by. */
const leastInSight = 14;
/** So far from its middle a patch has to lie within the picture to be read, in patches. */
const half = 0.28;

/** Patches that are not wholly in the picture as far as they are read. */
export function patchesOutside(h: Homography, width: number, height: number): number[] {
  return Array.from({ length: 24 }, (_, i) => i).filter((i) => {
    const [c, r] = [i % chart24Columns, Math.floor(i / chart24Columns)];
    return [
      [c - half, r - half],
      [c + half, r - half],
      [c + half, r + half],
      [c - half, r + half],
    ].some((corner) => {
      const [x, y] = project(h, corner as unknown as Point);
      return !(x >= 0 && y >= 0 && x <= width - 1 && y <= height - 1);
    });
  });
}

/**
 * Judges the patches that the picture holds of a chart that reaches out of it.
 *
 * @returns Likeness 0 where none lies outside, or too few inside.
 */
export function judgeCutChart(picture: Planes, { toPicture }: Pick<ChartPlace, "toPicture">): CutVerdict {
  const outside = patchesOutside(toPicture, picture.width, picture.height);
  if (outside.length === 0 || outside.length > 24 - leastInSight) return { likeness: 0, outside };
  const known = new Uint8Array(24).fill(1);
  for (const i of outside) known[i] = 0;
  const colours = new Float64Array(72);
  const one = new Float64Array(3);
  for (let i = 0; i < 24; i++) {
    if (known[i] === 0) continue;
    const [c0, r0] = [i % chart24Columns, Math.floor(i / chart24Columns)];
    for (let k = 0; k < 9; k++) {
      const [x, y] = project(toPicture, [c0 + ((k % 3) - 1) * 0.2, r0 + (Math.floor(k / 3) - 1) * 0.2]);
      sampleBilinear(picture, x, y, one, 0);
      for (let c = 0; c < 3; c++) colours[i * 3 + c] = colours[i * 3 + c]! + one[c]! / 9;
    }
  }
  const greys = chart24Neutrals.filter((i) => known[i] === 1).length;
  // With fewer greys their fall says nothing: the colours have to do.
  if (greys >= 4 && !neutralsFall(colours, known)) return { likeness: 0, outside };
  return { likeness: chartLikeness(colours, known), outside };
}

/** Sides of the picture that a chart with these corners reaches over, the farthest first. */
export function sidesLeft(
  corners: readonly Point[],
  { width, height }: { readonly width: number; readonly height: number },
): PictureSide[] {
  const over: Record<PictureSide, number> = { left: 0, right: 0, top: 0, bottom: 0 };
  for (const [x, y] of corners) {
    over.left = Math.max(over.left, -x);
    over.right = Math.max(over.right, x - width);
    over.top = Math.max(over.top, -y);
    over.bottom = Math.max(over.bottom, y - height);
  }
  return (Object.keys(over) as PictureSide[])
    .filter((side) => over[side] > 0)
    .sort((p, q) => over[q] - over[p]);
}
