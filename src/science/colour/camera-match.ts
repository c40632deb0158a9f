import { type CameraCurve, findCameraCurve, type GreyLight, lightnessError } from "./camera-curve.ts";
import { chartWhite, fitReferenceView, type ReferenceView } from "./chart-reference.ts";
import { chart24Neutrals } from "./chart24.ts";
import { colourDifferenceCie2000 } from "./ciede2000.ts";
import { type ColourMix, fitColourMix, type MixLevel } from "./colour-mix.ts";
import type { Curve } from "./curve.ts";
import type { Triple } from "./matrix3.ts";

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
  readonly before: readonly number[];
  readonly after: readonly number[];
  /** Each patch by a match, its curve included, that never saw it. */
  readonly leftOut: readonly number[];
  /** Linear light in A's space: A's patches, B's as recorded, B's matched. */
  readonly lightA: readonly Triple[];
  readonly lightBefore: readonly Triple[];
  readonly lightAfter: readonly Triple[];
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
 * from A's light to the published chart (D50, fitted on A's own shot), then L*a*b*. "As recorded" B's code values
 * stand in A's place where A's curve also straightens B's greys; where B's curve is of another kind (a log camera
 * beside a display-like one) B is read by its own curve, so that the figure speaks of colour and exposure and not of
 * the curve.
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

  const sameKind =
    lightnessError(curveA.curve, chart24Neutrals, b.codes, b.illumination) <= sameKindLightness;
  const lightBefore = sameKind ? evenedLight(b, curveA.curve) : onScaleOf(lightA, lights, curveA, curveB);
  const lightAfter = lights.map(mix.apply);
  const difference = (light: Triple, i: number): number =>
    colourDifferenceCie2000(labA[i]!, view.toLab(light));
  return {
    curveA,
    curveB,
    mix,
    tried: ladder.map(({ level, leftOut }) => ({ level, leftOut: mean(leftOut) })),
    view,
    before: lightBefore.map(difference),
    after: lightAfter.map(difference),
    leftOut: chosen.leftOut,
    lightA,
    lightBefore,
    lightAfter,
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
 * Light of B beside light of A where their scales have nothing to do with each other: a learned curve counts in
 * reflectance, a tagged one in its signal's white. A's own scale stays; B's is counted from the signal's white where
 * both curves are tagged, and else brought to A's at the mid grey by green alone.
 */
function onScaleOf(
  lightA: readonly Triple[],
  lightB: readonly Triple[],
  curveA: CameraCurve,
  curveB: CameraCurve,
): Triple[] {
  const bothTagged = curveA.curve.known === "tag" && curveB.curve.known === "tag";
  const gain = bothTagged ? 1 : chartWhite(lightA)[1] / chartWhite(lightB)[1];
  return lightB.map((light) => [light[0] * gain, light[1] * gain, light[2] * gain]);
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, v) => sum + v, 0) / values.length;
}
