import { bradfordAdaptation } from "./bradford.ts";
import { type CameraCurve, findCameraCurve, type GreyLight, lightnessError } from "./camera-curve.ts";
import { chartWhite, fitReferenceView, type ReferenceView } from "./chart-reference.ts";
import { chart24Neutrals, chart24White } from "./chart24.ts";
import { colourDifferenceCie2000 } from "./ciede2000.ts";
import { type ColourMix, fitColourMix, type MixLevel } from "./colour-mix.ts";
import type { Curve } from "./curve.ts";
import { curveOfTransferTag, isDisplayTransfer } from "./h273-transfer.ts";
import { xyzToLab } from "./lab.ts";
import { applyMatrix3, multiplyMatrix3, type Triple } from "./matrix3.ts";
import { bt709, rgbToXyzMatrix } from "./primaries.ts";
import { chromaticityToXyz, whiteD65 } from "./white-points.ts";

/** A camera's shot of the chart: code values of the 24 patches, in order, and the stream's transfer tag. */
export interface ChartShot {
  readonly codes: readonly Triple[];
  /** ITU-T H.273 transfer characteristics. */
  readonly transfer: number;
  /** Light on each patch, 1 being even; even where left out. */
  readonly illumination?: readonly number[];
  /** Patches that say nothing, clipped ones: judged like the others but not fitted to. Never a grey. */
  readonly unusable?: readonly number[];
}

/** The match of camera B to camera A, with what it leaves. Differences are CIEDE2000, one a patch. */
export interface CameraMatch {
  readonly curveA: CameraCurve;
  readonly curveB: CameraCurve;
  readonly mix: ColourMix;
  /** Each level that was tried and its mean left-out difference. */
  readonly tried: readonly { readonly level: MixLevel; readonly leftOut: number }[];
  readonly view: ReferenceView;
  /** A's patches, linear light in A's own scale. */
  readonly lightA: readonly Triple[];
  readonly before: readonly number[];
  readonly after: readonly number[];
  /** Each patch by a match, its curve included, that never saw it. */
  readonly leftOut: readonly number[];
  /** XYZ under D50, as A is viewed: A's patches, B's as recorded, B's matched. */
  readonly xyzA: readonly Triple[];
  readonly xyzBefore: readonly Triple[];
  readonly xyzAfter: readonly Triple[];
  /** B's code values to A's code values. */
  readonly transform: (code: Triple) => Triple;
}

/** A richer level has to earn this much, CIEDE2000 on average over left-out patches, for its rougher ride elsewhere. */
const levelPenalty: Readonly<Record<MixLevel, number>> = { gains: 0, matrix: 0.1, rootPolynomial: 0.25 };

/**
 * Solves camera B to camera A from one chart seen by both.
 *
 * B's code values are taken to linear light by B's curve, mixed to A's linear light (greys kept grey) and put
 * through A's curve, so that any look made for A fits B. Of gains, a white-preserving 3×3 and a root-polynomial of
 * degree 2 the one with the least left-out error wins, with a penalty for richer ones.
 *
 * Differences are CIEDE2000 between A's patch and B's: A-space code values through A's curve, then through one 3×3
 * from A's light to the published chart (D50, fitted on A's own shot), then L*a*b*. How B is read "as recorded"
 * stands with `asRecorded` below.
 */
export function matchCameras(a: ChartShot, b: ChartShot): CameraMatch {
  const unusable = new Set([...(a.unusable ?? []), ...(b.unusable ?? [])]);
  const curveA = findCameraCurve(a.transfer, a.codes, undefined, a.illumination);
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
    const curve = findCameraCurve(b.transfer, b.codes, key, b.illumination, greys);
    const fresh = { curve, lights: evenedLight(b, curve.curve) };
    read.set(key, fresh);
    return fresh;
  };
  const solve = (
    level: MixLevel,
    without?: number,
  ): { mix: ColourMix; curve: CameraCurve; lights: Triple[] } => {
    const { curve, lights } = readB(without);
    const kept = lights.map((_, i) => i).filter((i) => i !== without && !unusable.has(i));
    const mix = fitColourMix(
      {
        from: kept.map((i) => lights[i]!),
        to: kept.map((i) => lightA[i]!),
        whiteFrom: chartWhite(lights, without),
        whiteTo: chartWhite(lightA, without),
        toLab: view.toLab,
      },
      level,
    );
    return { mix, curve, lights };
  };
  const leaveOneOut = (level: MixLevel): number[] =>
    labA.map((lab, i) => {
      const { mix, lights } = solve(level, i);
      return colourDifferenceCie2000(lab, view.toLab(mix.apply(lights[i]!)));
    });

  const ladder = (["gains", "matrix", "rootPolynomial"] as const).map((level) => {
    const leftOut = leaveOneOut(level);
    return { level, leftOut, score: mean(leftOut) + levelPenalty[level] };
  });
  const chosen = ladder.reduce((p, q) => (q.score < p.score ? q : p));
  const { mix, curve: curveB, lights } = solve(chosen.level);

  const xyzBefore = asRecorded(a, b, { curveA, curveB, lightA, lights, view });
  const lightAfter = lights.map(mix.apply);
  const difference = (light: Triple, i: number): number =>
    colourDifferenceCie2000(labA[i]!, view.toLab(light));
  return {
    curveA,
    curveB,
    mix,
    tried: ladder.map(({ level, leftOut }) => ({ level, leftOut: mean(leftOut) })),
    view,
    before: xyzBefore.map((xyz, i) => colourDifferenceCie2000(labA[i]!, xyzToLab(xyz, chart24White))),
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

/** Greys of B this straight under A's curve, in L*, say that both cameras have the same kind of curve. */
const sameKindLightness = 4;

/** Linear light of a shot's patches as if the chart were evenly lit. */
export function evenedLight({ codes, illumination }: ChartShot, curve: Curve): Triple[] {
  return codes.map((code, i) => {
    const light = throughCurve(curve, code);
    const k = 1 / (illumination?.[i] ?? 1);
    return [light[0] * k, light[1] * k, light[2] * k];
  });
}

/** Code values to linear light, channel by channel. */
export function throughCurve(curve: Curve, code: Triple): Triple {
  return [curve.toLight(code[0]), curve.toLight(code[1]), curve.toLight(code[2])];
}

/**
 * B's patches as they were recorded, as XYZ beside A's.
 *
 * Where A's curve also straightens B's greys, B's code values stand in A's place. Where it does not and B's pictures
 * are made for a screen, they are taken as that screen shows them, A being seen through its view. Else (two cameras
 * with curves of different kinds, neither for a screen) nothing is shared but the chart: B's light is read by B's own
 * curve and brought to A's by the greys' green alone.
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
): Triple[] {
  const { curveA, curveB, lightA, lights, view } = solved;
  const sameTag = a.transfer === b.transfer && curveA.curve.known === "tag";
  if (
    sameTag ||
    lightnessError(curveA.curve, chart24Neutrals, b.codes, b.illumination) <= sameKindLightness
  ) {
    return evenedLight(b, curveA.curve).map(view.toXyz);
  }
  if (isDisplayTransfer(b.transfer) && !curveB.tagRefused) {
    return evenedLight(b, curveOfTransferTag(b.transfer)!).map((light) => applyMatrix3(bt709ToD50, light));
  }
  const gain = chartWhite(lightA)[1] / chartWhite(lights)[1];
  return lights.map((light) => view.toXyz([light[0] * gain, light[1] * gain, light[2] * gain]));
}

const bt709ToD50 = multiplyMatrix3(
  bradfordAdaptation(chromaticityToXyz(whiteD65), chart24White),
  rgbToXyzMatrix(bt709),
);

function mean(values: readonly number[]): number {
  return values.reduce((sum, v) => sum + v, 0) / values.length;
}
