import { bradfordAdaptation } from "#science/colour/bradford";
import { chart24White, chart24Xyz } from "#science/colour/chart24";
import { solveLinear } from "#science/colour/linear-solve";
import { applyMatrix3, invertMatrix3, multiplyMatrix3, type Triple } from "#science/colour/matrix3";
import { bt709, rgbToXyzMatrix } from "#science/colour/primaries";
import { linearToSrgb } from "#science/colour/transfer-functions";
import { chromaticityToXyz, whiteD65 } from "#science/colour/white-points";

const toSrgbLight = multiplyMatrix3(
  invertMatrix3(rgbToXyzMatrix(bt709)),
  bradfordAdaptation(chart24White, chromaticityToXyz(whiteD65)),
);

/** The chart's patches as sRGB code values, unclipped. */
export const chart24Srgb: readonly Triple[] = chart24Xyz.map((xyz) => {
  const light = applyMatrix3(toSrgbLight, xyz);
  return [linearToSrgb(light[0]), linearToSrgb(light[1]), linearToSrgb(light[2])];
});

/**
 * How well colours agree with the chart's, whatever the camera's white, exposure and contrast: the share of their
 * variance that an affine map of the published colours explains, adjusted for how few they are. 1 is perfect,
 * about 0 is chance.
 *
 * @param colours - Code values R, G, B of each patch in order, interleaved: 72 numbers.
 * @param known - Which of the 24 are known; all where left out.
 */
export function chartLikeness(colours: Float64Array, known?: Uint8Array): number {
  // Normal equations of [1, R, G, B] against the three channels.
  const normal = [0, 1, 2, 3].map(() => [0, 0, 0, 0]);
  const right = [0, 1, 2].map(() => [0, 0, 0, 0]);
  const squares = [0, 0, 0];
  let n = 0;
  for (let i = 0; i < 24; i++) {
    if (known && known[i] === 0) continue;
    n++;
    const row = design[i]!;
    for (let p = 0; p < 4; p++) {
      for (let q = 0; q < 4; q++) normal[p]![q] = normal[p]![q]! + row[p]! * row[q]!;
      for (let c = 0; c < 3; c++) right[c]![p] = right[c]![p]! + row[p]! * colours[i * 3 + c]!;
    }
    for (let c = 0; c < 3; c++) squares[c] = squares[c]! + colours[i * 3 + c]! ** 2;
  }
  if (n < 8) return 0;
  let total = 0;
  let left = 0;
  for (let c = 0; c < 3; c++) {
    const fit = solveLinear(normal, right[c]!);
    if (!fit) return 0;
    total += squares[c]! - right[c]![0]! ** 2 / n;
    left += squares[c]! - fit.reduce((sum, k, p) => sum + k * right[c]![p]!, 0);
  }
  return total < 1e-6 * n ? 0 : 1 - ((left / total) * (n - 1)) / (n - 4);
}

const design: readonly (readonly number[])[] = chart24Srgb.map((c) => [1, c[0], c[1], c[2]]);

/**
 * Whether the last row falls from white to black, each grey darker than the one before by a visible step. The two
 * ends may be level: a clipped or crushed chart is a chart still.
 */
export function neutralsFall(colours: Float64Array): boolean {
  const luma = (i: number): number => colours[i * 3]! + 2 * colours[i * 3 + 1]! + colours[i * 3 + 2]!;
  const span = luma(18) - luma(23);
  if (span < 0.2) return false;
  for (let i = 18; i < 23; i++) {
    const least = i === 18 || i === 22 ? -0.01 : 0.012;
    if (luma(i) - luma(i + 1) < least * span) return false;
  }
  return true;
}
