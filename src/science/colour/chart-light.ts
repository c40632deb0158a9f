import { findCameraCurve } from "./camera-curve.ts";
import { fitReferenceView } from "./chart-reference.ts";
import { type ChartShot, evenedLight } from "./chart-shot.ts";
import { chart24Columns, chart24LabFrom2014, chart24Neutrals, chart24Rows, chart24Xyz } from "./chart24.ts";
import { colourDifferenceCie2000 } from "./ciede2000.ts";
import { leastSquares } from "./linear-solve.ts";

/** How the light lies on a chart, and what else the chart says of its shot. */
export interface ChartLight {
  /** Light on each patch, mean 1 in the logarithm. */
  readonly illumination: readonly number[];
  /** From the darkest to the brightest corner of the field, stops. */
  readonly fallOffStops: number;
  /** Largest change of a grey's tint along the four lighter greys, in stops between two channels. */
  readonly tintSpreadStops: number;
  /** Mean CIEDE2000 between the shot, its white and mix solved, and the published chart. */
  readonly fromPublished: number;
}

/** A slope smaller than this is the camera's noise and the printing's; correcting it would add some. */
const leastFallOff = 0.12;
/** Beyond this the light is not corrected further: the shot is to be made again. */
const mostFallOff = 1;

/**
 * Reads how evenly a chart is lit from the chart itself.
 *
 * Once curve, white and mix are solved, each patch's luminance against the published one tells the light on it; a
 * plane through their logarithms is the fall-off. Solved in three rounds, for the curve is learned from greys that
 * the slope touches too.
 */
export function readChartLight(shot: ChartShot): ChartLight {
  let slope: [number, number] = [0, 0];
  let illumination: number[] = new Array<number>(24).fill(1);
  const unusable = new Set(shot.unusable ?? []);
  const solve = () => {
    const { curve } = findCameraCurve({ ...shot, illumination });
    const lights = evenedLight({ ...shot, illumination }, curve);
    return { lights, view: fitReferenceView(lights, unusable) };
  };
  for (let round = 0; round < 3; round++) {
    const { lights, view } = solve();
    const rows: number[][] = [];
    const wanted: number[] = [];
    lights.forEach((light, i) => {
      if (unusable.has(i) || i === 23) return;
      const seen = view.toXyz(light)[1];
      if (seen <= 0) return;
      const miss = Math.log2(seen / chart24Xyz[i]![1]);
      // Saturated patches miss for other reasons: what is far off says less.
      const trust = 1 / (1 + (miss / 0.25) ** 2);
      const [x, y] = place(i);
      rows.push([trust, trust * x, trust * y]);
      wanted.push(trust * miss);
    });
    const plane = leastSquares(rows, wanted);
    if (!plane) break;
    slope = [slope[0] + plane[1]!, slope[1] + plane[2]!];
    const span = spanOf(slope);
    const keep = span < leastFallOff ? 0 : Math.min(1, mostFallOff / span);
    illumination = illumination.map((_, i) => {
      const [x, y] = place(i);
      return 2 ** (keep * (slope[0] * x + slope[1] * y));
    });
  }
  const { lights, view } = solve();
  const tints = chart24Neutrals.slice(0, 4).map((i) => {
    const light = lights[i]!.map((v) => Math.max(v, 1e-6));
    return [Math.log2(light[0]! / light[1]!), Math.log2(light[2]! / light[1]!)];
  });
  const spread = (k: number): number =>
    Math.max(...tints.map((t) => t[k]!)) - Math.min(...tints.map((t) => t[k]!));
  const differences = lights.map((light, i) =>
    colourDifferenceCie2000(view.toLab(light), chart24LabFrom2014[i]!),
  );
  return {
    illumination,
    fallOffStops: spanOf(slope),
    tintSpreadStops: Math.max(spread(0), spread(1)),
    fromPublished: differences.reduce((sum, d) => sum + d, 0) / 24,
  };
}

/** A patch's place about the chart's middle, in patches. */
function place(i: number): [number, number] {
  return [
    (i % chart24Columns) - (chart24Columns - 1) / 2,
    Math.floor(i / chart24Columns) - (chart24Rows - 1) / 2,
  ];
}

function spanOf([x, y]: readonly [number, number]): number {
  return Math.abs(x) * (chart24Columns - 1) + Math.abs(y) * (chart24Rows - 1);
}
