import type { ColourMix } from "./colour-mix.ts";
import { solveLinear } from "./linear-solve.ts";
import type { Triple } from "./matrix3.ts";

/** What a residual is fitted to: colours in the first camera's light, and the same in the second's. */
export interface ResidualTask {
  readonly from: readonly Triple[];
  readonly to: readonly Triple[];
  readonly whiteTo: Triple;
  /** How much each colour says, 1 by default. */
  readonly trust?: readonly number[];
}

/** How far one colour's correction reaches, in cube roots of light (white 1): about two patches. */
const reach = 0.22;
/** What a correction costs: two patches that disagree are left in the middle. */
const ridge = 0.35;
/** A correction never moves a cube root by more than this: some four units of lightness. */
const most = 0.04;
/** Greys and what lies near them are left alone: the correction grows with the distance from the grey axis. */
const greyWidth = 0.06;

/**
 * A mix with a gentle correction of what it leaves, in three dimensions: for cameras whose colours were bent by more
 * than a mix of channels, as by a look that turns reds.
 *
 * In cube roots of light, where steps look alike, what is left at each patch is spread smoothly about it (kernel
 * ridge regression with a Gaussian), softly limited, and faded out towards the greys. Far from every patch it is
 * nothing: beyond the chart the mix stands alone.
 *
 * Source: common practice; kernel ridge regression as in Saunders, Gammerman & Vovk 1998.
 */
export function withResidual(mix: ColourMix, { from, to, whiteTo, trust }: ResidualTask): ColourMix {
  const root = (light: Triple): Triple => [
    Math.cbrt(light[0] / whiteTo[0]),
    Math.cbrt(light[1] / whiteTo[1]),
    Math.cbrt(light[2] / whiteTo[2]),
  ];
  const centres = from.map((light) => root(mix.apply(light)));
  const fades = centres.map(fadeOf);
  const kernel = (a: Triple, b: Triple): number =>
    Math.exp(-((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2 + (a[2] - b[2]) ** 2) / (2 * reach ** 2));
  const normal = centres.map((p, i) =>
    centres.map(
      (q, j) =>
        fades[i]! * fades[j]! * kernel(p, q) + (i === j ? ridge / Math.max(trust?.[i] ?? 1, 0.05) ** 2 : 0),
    ),
  );
  const wanted = to.map((light, i) => {
    const aim = root(light);
    return [0, 1, 2].map((c) => aim[c]! - centres[i]![c]!);
  });
  const weights = [0, 1, 2].map((c) =>
    solveLinear(
      normal,
      wanted.map((miss) => miss[c]!),
    ),
  );
  if (weights.some((row) => row === null)) return mix;
  const pulls = centres.map((_, i) => [0, 1, 2].map((c) => weights[c]![i]! * fades[i]!));
  return {
    level: "residual",
    weights: mix.weights,
    apply: (light) => {
      const p = root(mix.apply(light));
      const fade = fadeOf(p);
      const move = [0, 0, 0];
      for (let i = 0; i < centres.length; i++) {
        const k = kernel(p, centres[i]!);
        for (let c = 0; c < 3; c++) move[c] = move[c]! + k * pulls[i]![c]!;
      }
      const out = (c: 0 | 1 | 2): number =>
        (p[c] + most * Math.tanh((fade * move[c]!) / most)) ** 3 * whiteTo[c];
      return [out(0), out(1), out(2)];
    },
  };
}

/** 0 on the grey axis, nearly 1 where colours are strong. */
function fadeOf([r, g, b]: Triple): number {
  const middle = (r + g + b) / 3;
  const square = (r - middle) ** 2 + (g - middle) ** 2 + (b - middle) ** 2;
  return square / (square + greyWidth ** 2);
}
