import { niceCeiling, niceTicks, scale } from "./ticks.ts";

/** Where one patch's difference begins and where it has fallen to, in page units. */
export interface Fall {
  readonly index: number;
  readonly x: number;
  readonly from: number;
  readonly to: number;
}

/**
 * Patches side by side in their four rows of the chart, a gap between rows; differences upward from zero.
 *
 * @param patches - In the chart's order; 24 of them, or as many as were matched.
 * @returns Places in [left, right] × [top, bottom]; `ticks` in units of the difference.
 */
export function layOutFalls(
  patches: readonly { readonly index: number; readonly before: number; readonly after: number }[],
  box: { readonly left: number; readonly right: number; readonly top: number; readonly bottom: number },
): {
  falls: Fall[];
  ticks: { value: number; y: number }[];
  y: (difference: number) => number;
  max: number;
  step: number;
} {
  const max = niceCeiling(Math.max(2, ...patches.flatMap((p) => [p.before, p.after])));
  const y = scale(0, max, box.bottom, box.top);
  // A row's gap is worth half a patch more than the patches' own step.
  const places = 24 + 3 * 0.5;
  const step = (box.right - box.left) / places;
  const falls = patches.map((p) => ({
    index: p.index,
    x: box.left + step * (p.index + 0.5 + Math.floor(p.index / 6) * 0.5),
    from: y(p.before),
    to: y(p.after),
  }));
  const ticks = niceTicks(0, max, 5).map((value) => ({ value, y: y(value) }));
  return { falls, ticks, y, max, step };
}

/** The chart's four rows, as a person would name them. */
export const patchRows = ["skin and sky", "strong colours", "primaries", "greys"] as const;
