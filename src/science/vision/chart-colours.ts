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

/** The chart's patches as sRGB code values; what lies outside sRGB (cyan's red) at 0, as no camera sees less than none. */
export const chart24Srgb: readonly Triple[] = chart24Xyz.map((xyz) => {
  const light = applyMatrix3(toSrgbLight, xyz);
  return light.map((v) => linearToSrgb(Math.max(0, v))) as unknown as Triple;
});

/** What the colours at a place say of a chart there. */
export interface ColourVerdict {
  /** See {@link chartLikeness}; 0 where the greys rule a chart out. */
  readonly likeness: number;
  /** Patches that something lies over, a thumb most often: they hang together from the chart's edge inwards. */
  readonly hidden: readonly number[];
}

/** A chart of which more is covered is no longer sure. */
const mostHidden = 6;
/** A covered patch misses by this many times the usual, and by this part of the colours' own spread. */
const farMiss = 3.2;
const farPart = 0.45;
/** A covered patch has to spoil the likeness by this much before it is left out. */
const leastGain = 0.008;

/**
 * How well colours agree with the chart's, whatever the camera's white, exposure and contrast: the share of their
 * variance that an affine map of the published colours explains, adjusted for how few they are. 1 is perfect,
 * about 0 is chance.
 *
 * @param colours - Code values R, G, B of each patch in order, interleaved: 72 numbers.
 * @param known - Which of the 24 are known; all where left out.
 */
export function chartLikeness(colours: Float64Array, known?: Uint8Array): number {
  return fitColours(colours, known)?.likeness ?? 0;
}

/**
 * Judges the colours of all 24 places, some of which may be covered: what misses far, from the edge inwards, is
 * left out one by one as long as the rest then agrees better.
 */
export function judgeChartColours(colours: Float64Array): ColourVerdict {
  const known = new Uint8Array(24).fill(1);
  const hidden: number[] = [];
  let fit = fitColours(colours, known);
  while (fit && hidden.length < mostHidden) {
    const { misses, spread } = fit;
    const usual = medianKnown(misses, known);
    let worst = -1;
    for (let i = 0; i < 24; i++) {
      if (known[i] === 0 || !mayBeHidden(i, known)) continue;
      if (misses[i]! < farMiss * usual || misses[i]! < farPart * spread * Math.sqrt(1 - fit.likeness + 0.1))
        continue;
      if (worst < 0 || misses[i]! > misses[worst]!) worst = i;
    }
    if (worst < 0) break;
    known[worst] = 0;
    const next = fitColours(colours, known);
    if (!next || next.likeness < fit.likeness + leastGain) {
      known[worst] = 1;
      break;
    }
    hidden.push(worst);
    fit = next;
  }
  if (!fit) return { likeness: 0, hidden };
  if (neutralsFall(colours, known)) return { likeness: fit.likeness, hidden };
  // A thumb over an end of the greys may be as bright as they are; then only their order tells.
  for (const ends of greyEnds) {
    if (ends.some((i) => known[i] === 0)) continue;
    for (const i of ends) known[i] = 0;
    const next = neutralsFall(colours, known) ? fitColours(colours, known) : null;
    if (next && next.likeness >= fit.likeness) {
      return { likeness: next.likeness, hidden: [...hidden, ...ends] };
    }
    for (const i of ends) known[i] = 1;
  }
  return { likeness: 0, hidden };
}

const greyEnds = [[18], [23], [18, 19], [22, 23]] as const;

/** On the chart's edge, or beside what is hidden already. */
function mayBeHidden(i: number, known: Uint8Array): boolean {
  const [c, r] = [i % 6, Math.floor(i / 6)];
  if (c === 0 || c === 5 || r === 0 || r === 3) return true;
  return known[i - 1] === 0 || known[i + 1] === 0 || known[i - 6] === 0 || known[i + 6] === 0;
}

interface ColourFit {
  readonly likeness: number;
  /** Distance of each patch from the fit, code values. */
  readonly misses: Float64Array;
  /** Root mean square distance of the known colours from their mean. */
  readonly spread: number;
}

/** Least squares of [1, R, G, B] of the published colours against the three channels seen. */
function fitColours(colours: Float64Array, known?: Uint8Array): ColourFit | null {
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
  if (n < 8) return null;
  let total = 0;
  let left = 0;
  const fits: (readonly number[])[] = [];
  for (let c = 0; c < 3; c++) {
    const fit = solveLinear(normal, right[c]!);
    if (!fit) return null;
    fits.push(fit as unknown as readonly number[]);
    total += squares[c]! - right[c]![0]! ** 2 / n;
    left += squares[c]! - fit.reduce((sum, k, p) => sum + k * right[c]![p]!, 0);
  }
  if (total < 1e-6 * n) return null;
  const misses = new Float64Array(24);
  for (let i = 0; i < 24; i++) {
    let sum = 0;
    for (let c = 0; c < 3; c++) {
      const fit = fits[c]!;
      const row = design[i]!;
      sum += (colours[i * 3 + c]! - fit[0]! - fit[1]! * row[1]! - fit[2]! * row[2]! - fit[3]! * row[3]!) ** 2;
    }
    misses[i] = Math.sqrt(sum);
  }
  return { likeness: 1 - ((left / total) * (n - 1)) / (n - 4), misses, spread: Math.sqrt(total / n) };
}

const design: readonly (readonly number[])[] = chart24Srgb.map((c) => [1, c[0], c[1], c[2]]);

function medianKnown(values: Float64Array, known: Uint8Array): number {
  const sorted = [...values].filter((_, i) => known[i] === 1).sort((a, b) => a - b);
  return sorted[sorted.length >> 1]!;
}

/**
 * Whether the last row falls from white to black, each grey darker than the one before by a visible step. The two
 * ends may be level: a clipped or crushed chart is a chart still.
 *
 * @param known - Which of the 24 are in sight; all where left out. Four of the six greys at least.
 */
export function neutralsFall(colours: Float64Array, known?: Uint8Array): boolean {
  const luma = (i: number): number => colours[i * 3]! + 2 * colours[i * 3 + 1]! + colours[i * 3 + 2]!;
  const seen = [18, 19, 20, 21, 22, 23].filter((i) => !known || known[i] === 1);
  if (seen.length < 4) return false;
  const span = luma(seen[0]!) - luma(seen.at(-1)!);
  if (span < 0.2) return false;
  for (let k = 1; k < seen.length; k++) {
    const [i, j] = [seen[k - 1]!, seen[k]!];
    const least = i === 18 || j === 23 ? -0.01 : 0.012;
    if (luma(i) - luma(j) < least * span) return false;
  }
  return true;
}
