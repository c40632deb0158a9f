import { bradfordAdaptation } from "./bradford.ts";
import { type CameraCurve, findCameraCurve, type GreyLight, lightnessError } from "./camera-curve.ts";
import { chartWhite, fitReferenceView, type ReferenceView } from "./chart-reference.ts";
import { type ChartShot, evenedLight, throughCurve } from "./chart-shot.ts";
import { chart24Neutrals, chart24White } from "./chart24.ts";
import { colourDifferenceCie2000 } from "./ciede2000.ts";
import type { ColourMix, MixLevel } from "./colour-mix.ts";
import type { Curve } from "./curve.ts";
import { curveOfTransferTag, isDisplayTransfer } from "./h273-transfer.ts";
import { xyzToLab } from "./lab.ts";
import { fitLightMix } from "./light-mix.ts";
import { applyMatrix3, multiplyMatrix3, type Triple } from "./matrix3.ts";
import { bt709, rgbToXyzMatrix } from "./primaries.ts";
import { withResidual } from "./residual-mix.ts";
import { chromaticityToXyz, whiteD65 } from "./white-points.ts";

/** The match of camera B to camera A, with what it leaves. Differences are CIEDE2000, one a patch. */
export interface CameraMatch {
  readonly curveA: CameraCurve;
  readonly curveB: CameraCurve;
  readonly mix: ColourMix;
  /** Each level that was tried and its mean left-out difference. */
  readonly tried: readonly { readonly level: MixLevel | "residual"; readonly leftOut: number }[];
  readonly view: ReferenceView;
  /** A's patches, linear light in A's own scale. */
  readonly lightA: readonly Triple[];
  /** As recorded with exposure taken out: one gain of light brings B's greys to the luminance of A's. */
  readonly before: readonly number[];
  /** As recorded, exposure left in; the same as `before` where {@link exposureStops} is null. */
  readonly beforeWithExposure: readonly number[];
  /** How much brighter B's greys were recorded than A's, stops; null where nothing shared says. */
  readonly exposureStops: number | null;
  /** Linear light of a perfect diffuser at the chart, in each camera's own scale. */
  readonly whiteA: Triple;
  readonly whiteB: Triple;
  readonly after: readonly number[];
  /** Each patch by a match, its curve included, that never saw it. */
  readonly leftOut: readonly number[];
  /** XYZ under D50, as A is viewed: A's patches, B's as recorded with exposure taken out, B's matched. */
  readonly xyzA: readonly Triple[];
  readonly xyzBefore: readonly Triple[];
  readonly xyzAfter: readonly Triple[];
  /** B's code values to A's code values. */
  readonly transform: (code: Triple) => Triple;
}

/** A richer level has to earn this much, CIEDE2000 on average over left-out patches, for its rougher ride elsewhere. */
const levelPenalty = { gains: 0, matrix: 0.1, rootPolynomial: 0.25, residual: 0.4 } as const;

/**
 * Solves camera B to camera A from one chart seen by both.
 *
 * B's code values are taken to linear light by B's curve, mixed to A's linear light (greys kept grey) and put
 * through A's curve, so that any look made for A fits B. Of gains, a white-preserving 3×3, a root-polynomial of
 * degree 2 and the best of these with a gentle correction in three dimensions, the one with the least left-out error
 * wins, with a penalty for richer ones.
 *
 * Differences are CIEDE2000 between A's patch and B's: A-space code values through A's curve, then through one 3×3
 * from A's light to the published chart (D50, fitted on A's own shot), then L*a*b*. How B is read "as recorded"
 * stands with `asRecorded` below.
 */
export function matchCameras(a: ChartShot, b: ChartShot): CameraMatch {
  const unusable = new Set([...(a.unusable ?? []), ...(b.unusable ?? [])]);
  const curveA = findCameraCurve(a);
  const lightA = evenedLight(a, curveA.curve);
  const view = fitReferenceView(lightA, unusable);
  const labA = lightA.map(view.toLab);

  // Both saw this very chart, so A's reading of its greys is truer for B than the published one.
  const whiteA = chartWhite(lightA);
  const greys: GreyLight = new Map(
    chart24Neutrals.map((index) => [
      index,
      lightA[index]!.map((v, c) => Math.max(v / whiteA[c]!, 1e-4)) as unknown as Triple,
    ]),
  );
  // Only a grey that is left out changes the curve.
  const read = new Map<number | undefined, { curve: CameraCurve; lights: Triple[] }>();
  const readB = (without?: number): { curve: CameraCurve; lights: Triple[] } => {
    const key = without !== undefined && chart24Neutrals.includes(without) ? without : undefined;
    const known = read.get(key);
    if (known) return known;
    const curve = findCameraCurve(b, { without: key, greys });
    const fresh = { curve, lights: evenedLight(b, curve.curve) };
    read.set(key, fresh);
    return fresh;
  };
  const trust = patchTrust(a, b, curveA.curve, readB().curve.curve, view);
  const solve = (
    level: MixLevel,
    isCorrected: boolean,
    without?: number,
  ): { mix: ColourMix; curve: CameraCurve; lights: Triple[] } => {
    const { curve, lights } = readB(without);
    const kept = lights.map((_, i) => i).filter((i) => i !== without && !unusable.has(i));
    const task = {
      from: kept.map((i) => lights[i]!),
      to: kept.map((i) => lightA[i]!),
      whiteFrom: chartWhite(lights, without),
      whiteTo: chartWhite(lightA, without),
      toLab: view.toLab,
      trust: kept.map((i) => trust[i]!),
    };
    const plain = fitLightMix(task, level);
    return { mix: isCorrected ? withResidual(plain, task) : plain, curve, lights };
  };
  const leaveOneOut = (level: MixLevel, isCorrected: boolean): number[] =>
    labA.map((lab, i) => {
      const { mix, lights } = solve(level, isCorrected, i);
      return colourDifferenceCie2000(lab, view.toLab(mix.apply(lights[i]!)));
    });

  const ladder = (["gains", "matrix", "rootPolynomial"] as const).map((level) => {
    const leftOut = leaveOneOut(level, false);
    return { level, base: level, leftOut, score: mean(leftOut) + levelPenalty[level] };
  });
  const plainest = ladder.reduce((p, q) => (q.score < p.score ? q : p));
  // The last rung stands on the best of the others.
  const corrected = leaveOneOut(plainest.base, true);
  const rungs = [
    ...ladder,
    {
      level: "residual" as const,
      base: plainest.base,
      leftOut: corrected,
      score: mean(corrected) + levelPenalty.residual,
    },
  ];
  const chosen = rungs.reduce((p, q) => (q.score < p.score ? q : p));
  const { mix, curve: curveB, lights } = solve(chosen.base, chosen.level === "residual");

  const recorded = asRecorded(a, b, { curveA, curveB, lightA, lights, view });
  const xyzBefore = recorded.xyz.map((xyz) => scaled(xyz, 2 ** -(recorded.stops ?? 0)));
  const lightAfter = lights.map(mix.apply);
  const differenceOfXyz = (xyz: Triple, i: number): number =>
    colourDifferenceCie2000(labA[i]!, xyzToLab(xyz, chart24White));
  const difference = (light: Triple, i: number): number =>
    colourDifferenceCie2000(labA[i]!, view.toLab(light));
  return {
    curveA,
    curveB,
    mix,
    tried: rungs.map(({ level, leftOut }) => ({ level, leftOut: mean(leftOut) })),
    view,
    before: xyzBefore.map(differenceOfXyz),
    beforeWithExposure: recorded.xyz.map(differenceOfXyz),
    exposureStops: recorded.stops,
    whiteA: chartWhite(lightA),
    whiteB: chartWhite(lights),
    after: lightAfter.map(difference),
    leftOut: chosen.leftOut,
    lightA,
    xyzA: lightA.map(view.toXyz),
    xyzBefore,
    xyzAfter: lightAfter.map(view.toXyz),
    transform: (code) => {
      const light = mix.apply(throughCurve(curveB.curve, code));
      return [curveA.curve.toCode(light[0]), curveA.curve.toCode(light[1]), curveA.curve.toCode(light[2])];
    },
  };
}

/** Code values: what rounding, noise and a codec leave of a patch's mean. */
const codeNoise = 0.0005;
/** What a mix leaves of colours that it was not made for, CIEDE2000. */
const mixLeaves = 1;

/**
 * How much each patch says: 1 where noise of the code values makes no difference, less where it does, as in dark
 * colours of a logarithmic curve.
 */
function patchTrust(a: ChartShot, b: ChartShot, curveA: Curve, curveB: Curve, view: ReferenceView): number[] {
  const lightsA = evenedLight(a, curveA);
  const whiteA = chartWhite(lightsA);
  const whiteB = chartWhite(evenedLight(b, curveB));
  const step = (curve: Curve, code: number, white: number): number =>
    (curve.toLight(code + codeNoise) - curve.toLight(code - codeNoise)) / 2 / white;
  return lightsA.map((light, i) => {
    const lab = view.toLab(light);
    let squares = 0;
    for (let c = 0; c < 3; c++) {
      for (const part of [
        step(curveA, a.codes[i]![c]!, whiteA[c]!),
        step(curveB, b.codes[i]![c]!, whiteB[c]!),
      ]) {
        const moved = light.map((v, k) => (k === c ? v + part * whiteA[c]! : v)) as unknown as Triple;
        squares += colourDifferenceCie2000(lab, view.toLab(moved)) ** 2;
      }
    }
    return mixLeaves / Math.sqrt(mixLeaves ** 2 + squares);
  });
}

/** Greys of B this straight under A's curve, in L*, say that both cameras have the same kind of curve. */
const sameKindLightness = 4;

/**
 * B's patches as they were recorded, as XYZ beside A's, and how far apart the two exposures were.
 *
 * "As recorded" is what the two pictures show before any match. Where A's curve also straightens B's greys, B's code
 * values stand in A's place. Where it does not and B's pictures are made for a screen, they are taken as that screen
 * shows them, A being seen through its view. Else (two cameras with curves of different kinds, neither for a screen)
 * nothing is shared but the chart: B's light is read by B's own curve, and how the exposures compare is not known.
 */
function asRecorded(
  a: ChartShot,
  b: ChartShot,
  solved: {
    readonly curveA: CameraCurve;
    readonly curveB: CameraCurve;
    readonly lightA: readonly Triple[];
    readonly lights: readonly Triple[];
    readonly view: ReferenceView;
  },
): { readonly xyz: readonly Triple[]; readonly stops: number | null } {
  const { curveA, curveB, lightA, lights, view } = solved;
  const sameTag = a.transfer === b.transfer && curveA.curve.known === "tag";
  const wanted = chartWhite(lightA.map(view.toXyz))[1];
  const against = (xyz: readonly Triple[]): number => Math.log2(chartWhite(xyz)[1] / wanted);
  if (
    sameTag ||
    lightnessError(curveA.curve, chart24Neutrals, b.codes, b.illumination) <= sameKindLightness
  ) {
    const xyz = evenedLight(b, curveA.curve).map(view.toXyz);
    return { xyz, stops: against(xyz) };
  }
  if (isDisplayTransfer(b.transfer) && !curveB.tagRefused) {
    const screen = curveOfTransferTag(b.transfer)!;
    const xyz = evenedLight(b, screen).map((light) => applyMatrix3(bt709ToD50, light));
    return { xyz, stops: against(xyz) };
  }
  const xyz = lights.map(view.toXyz);
  return { xyz: xyz.map((v) => scaled(v, 2 ** -against(xyz))), stops: null };
}

function scaled(v: Triple, k: number): Triple {
  return [v[0] * k, v[1] * k, v[2] * k];
}

const bt709ToD50 = multiplyMatrix3(
  bradfordAdaptation(chromaticityToXyz(whiteD65), chart24White),
  rgbToXyzMatrix(bt709),
);

function mean(values: readonly number[]): number {
  return values.reduce((sum, v) => sum + v, 0) / values.length;
}
