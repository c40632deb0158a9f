import type { Triple } from "#science/colour/matrix3";
import { fitHomography, invertHomography, type Point, project } from "./homography.ts";

/** How a chart is drawn: for trials of what finds it. */
export interface ChartDrawing {
  readonly width: number;
  readonly height: number;
  /** Outer corners of the 24-patch field from dark skin's corner clockwise on the chart, pixels. */
  readonly corners: readonly [Point, Point, Point, Point];
  /** Colour of each patch, in order. */
  readonly patches: readonly Triple[];
  /** Colour of the frame between and about the patches. */
  readonly frame: Triple;
  /** A patch's side as a part of the distance from one to the next. */
  readonly patchSize?: number;
  /** What lies behind, by pixel. */
  readonly behind: (x: number, y: number) => Triple;
  /** What lies over it, by pixel; null where nothing does. */
  readonly over?: (x: number, y: number) => Triple | null;
  /** Light at a pixel, 1 being even: multiplies everything. */
  readonly light?: (x: number, y: number) => number;
}

/**
 * Draws the 24-patch chart in perspective, anti-aliased by four samples a pixel, as planes of numbers: no noise,
 * no blur, no encoding.
 */
export function drawChart(drawing: ChartDrawing): Float32Array {
  const { width, height, corners, patches, frame, behind } = drawing;
  const size = drawing.patchSize ?? 0.86;
  const [right, low] = [5 + size / 2, 3 + size / 2];
  const field: Point[] = [
    [-size / 2, -size / 2],
    [right, -size / 2],
    [right, low],
    [-size / 2, low],
  ];
  const toChart = invertHomography(fitHomography(field, corners)!);
  const margin = 0.32 + size / 2;
  const out = new Float32Array(width * height * 3);
  const shifts = [0.125, 0.375, 0.625, 0.875];
  const at = (px: number, py: number): Triple => {
    const above = drawing.over?.(px, py);
    if (above) return above;
    const [x, y] = project(toChart, [px, py]);
    if (x < -margin || y < -margin || x > 5 + margin || y > 3 + margin) return behind(px, py);
    const [c, r] = [Math.round(x), Math.round(y)];
    const onPatch =
      c >= 0 && r >= 0 && c < 6 && r < 4 && Math.abs(x - c) <= size / 2 && Math.abs(y - r) <= size / 2;
    return onPatch ? patches[r * 6 + c]! : frame;
  };
  let k = 0;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const light = (drawing.light?.(x, y) ?? 1) / 4;
      for (let s = 0; s < 4; s++) {
        const colour = at(x + shifts[s]!, y + shifts[((s + 2) % 4) ^ 1]!);
        for (let c = 0; c < 3; c++) out[k + c] = out[k + c]! + colour[c]! * light;
      }
      k += 3;
    }
  }
  return out;
}
