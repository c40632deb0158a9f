import type { Curve } from "./curve.ts";
import { greyMisses, type NeutralSample, shotsOf } from "./grey-misses.ts";
import { curveOfTransferTag, gammaCurve } from "./h273-transfer.ts";
import { levenbergMarquardt } from "./levenberg-marquardt.ts";
import type { Triple } from "./matrix3.ts";
import { acescctToLinear, linearToAcescct } from "./transfer-functions.ts";

/** Published curves that files without a tag are most often recorded with. H.273 code points, and two besides. */
const published: readonly Curve[] = [
  curveOfTransferTag(1)!,
  curveOfTransferTag(13)!,
  curveOfTransferTag(4)!,
  gammaCurve("gamma 2.4", 2.4),
  gammaCurve("gamma 2.6", 2.6),
  curveOfTransferTag(18)!,
  curveOfTransferTag(16)!,
  curveOfTransferTag(8)!,
  { name: "ACEScct", known: "tag", toLight: acescctToLinear, toCode: linearToAcescct },
];

/**
 * Mean square of the misses, each by its own doubt, up to which a published curve explains the greys. Measured on
 * simulated cameras: the right one leaves 0.8 to 2.4, the best wrong one 4.9 and more.
 */
const explainsBelow = 2.8;
/**
 * The published curve that a chart's greys were recorded with, the one that explains them best; null where none does.
 *
 * A curve of two bends (a root that turns into a logarithm, a straight foot) cannot be told from six greys by its
 * shape alone; that it is one of the few that are published, can.
 *
 * @param samples - At least four greys of each shot.
 */
export function recogniseCurve(samples: readonly NeutralSample[]): Curve | null {
  const best = published
    .map((curve) => ({ curve, miss: leastMiss(curve, samples) }))
    .reduce((a, b) => (b.miss < a.miss ? b : a));
  if (best.miss > explainsBelow) return null;
  return { ...best.curve, known: "recognised" };
}

/** Mean square of the misses at the gains that make it least. */
function leastMiss(curve: Curve, samples: readonly NeutralSample[]): number {
  const first = samples.filter(({ shot = 0 }) => shot === 0);
  const middle = first[first.length >> 1]!;
  const start = [0, 1, 2].map((c) => gainAt(curve, middle, c));
  const exposures = Array.from({ length: shotsOf(samples) - 1 }, (_, k) => {
    const own = samples.filter(({ shot = 0 }) => shot === k + 1);
    return gainAt(curve, own[own.length >> 1]!, 1) - start[1]!;
  });
  const { cost } = levenbergMarquardt(
    (p) =>
      greyMisses(
        curve.toCode,
        samples,
        [Math.exp(p[0]!), Math.exp(p[1]!), Math.exp(p[2]!)] as Triple,
        p.slice(3).map(Math.exp),
      ),
    [...start, ...exposures],
    { maxSteps: 30 },
  );
  return (2 * cost) / (samples.length * 3);
}

/** Logarithm of the gain at which a curve gives a grey's code value. */
function gainAt(curve: Curve, { light, code }: NeutralSample, c: number): number {
  return Math.log(Math.max(curve.toLight(code[c]!), 1e-6) / light[c]!);
}
