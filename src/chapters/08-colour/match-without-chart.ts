import type { MeasureContext } from "#documents/chapter";
import type { DeepPicture } from "#documents/media-reader";
import type { Recording } from "#documents/recording";
import { throughCurve } from "#science/colour/chart-shot";
import { colourDifferenceCie2000 } from "#science/colour/ciede2000";
import type { Curve } from "#science/colour/curve";
import { curveOfTransferTag } from "#science/colour/h273-transfer";
import { xyzToLab } from "#science/colour/lab";
import { applyMatrix3, type Matrix3, type Triple } from "#science/colour/matrix3";
import { bt709, rgbToXyzMatrix } from "#science/colour/primaries";
import { matchScene, type SeenColours } from "#science/colour/scene-match";
import { chromaticityToXyz, whiteD65 } from "#science/colour/white-points";
import { commonMoments, type PlacedCamera } from "./common-moments.ts";
import { oneDecimal } from "./words.ts";

/** A match that no chart stands behind. */
export interface WeakMatch {
  readonly by: "card" | "scene";
  readonly model: string;
  /** A sentence: why it is weaker, and how unsure. */
  readonly weaker: string;
  /** CIEDE2000. */
  readonly uncertainty: number;
  readonly before: number;
  readonly after: number;
  /** B's code values to A's code values. */
  readonly transform: (code: Triple) => Triple;
  /** L*a*b* of A's code values, as near as is known. */
  readonly toLab: (code: Triple) => Triple;
}

/** What gains alone leave on surfaces off the card, on average over simulated cameras (docs/colour-bench.md). */
const gainsLeave = 5.3;
const leastMoments = 3;
/** Of a frame so many points are taken across. */
const pointsAcross = 96;
const darkest = 0.03;
const brightest = 0.97;

/** The curve of a camera without a chart: what was given, what its tag names, else BT.709, which is then said. */
export function curveWithoutChart(
  recording: Recording,
  given: Curve | undefined,
): { readonly curve: Curve; readonly isAssumed: boolean } {
  if (given) return { curve: given, isAssumed: false };
  const tagged = curveOfTransferTag(recording.probe.picture!.colour.transfer);
  return tagged ? { curve: tagged, isAssumed: false } : { curve: curveOfTransferTag(1)!, isAssumed: true };
}

/** One camera's side of a weak match. */
export interface WeakSide {
  readonly device: string;
  readonly curve: Curve;
  readonly isAssumed: boolean;
  /** A neutral as recorded: a grey side, or the chart's own white; with its light where that is known. */
  readonly neutral?: { readonly code: Triple; readonly isCard: boolean };
}

/** Gains alone, from a grey or white side (or a chart's white) that each camera was shown. */
export function matchByCard(a: WeakSide, b: WeakSide): WeakMatch | null {
  if (!a.neutral || !b.neutral) return null;
  const lightA = throughCurve(a.curve, a.neutral.code);
  const lightB = throughCurve(b.curve, b.neutral.code);
  if ([...lightA, ...lightB].some((v) => !(v > 1e-5))) return null;
  // A card and a chart's white are not of one lightness: then only the colour of the light is known.
  const isSame = a.neutral.isCard && b.neutral.isCard;
  const level = isSame ? lightA[1] / lightB[1] : 1;
  const gains = [0, 1, 2].map(
    (c) => (level * (lightA[c]! / lightA[1])) / (lightB[c]! / lightB[1]),
  ) as unknown as Triple;
  const matrix: Matrix3 = [
    [gains[0], 0, 0],
    [0, gains[1], 0],
    [0, 0, gains[2]],
  ];
  const lab = (light: Triple): Triple => {
    const k = 0.8 / Math.max(lightA[1], 1e-6);
    return labOf([light[0] * k, light[1] * k, light[2] * k]);
  };
  const bright = (lightA[1] / lightB[1]) as number;
  const before = colourDifferenceCie2000(
    lab(lightA),
    lab([lightB[0] * bright, lightB[1] * bright, lightB[2] * bright]),
  );
  return {
    by: "card",
    model: `one gain a channel in linear light, by a grey side; ${curvesInWords(a, b)}`,
    weaker: `No chart was filmed with both cameras, so camera ${b.device} was matched by a grey or white side alone: greys agree, colours by ${oneDecimal(gainsLeave)} units or so.${isSame ? "" : " The exposure was left as recorded."}${assumedInWords(a, b)}`,
    uncertainty: gainsLeave,
    before,
    after: 0,
    transform: transformOf(a.curve, b.curve, matrix),
    toLab: (code) => lab(throughCurve(a.curve, code)),
  };
}

/** Gains or a 3×3 from what both cameras see at the same moments; null where the clock or the pictures do not allow it. */
export async function matchByScene(
  a: WeakSide & { readonly camera: PlacedCamera },
  b: WeakSide & { readonly camera: PlacedCamera },
  context: MeasureContext,
): Promise<WeakMatch | null> {
  const moments = commonMoments(a.camera, b.camera);
  if (moments.length < leastMoments) return null;
  const pairs: { to: SeenColours; from: SeenColours }[] = [];
  const clouds: { a: Triple[]; b: Triple[] }[] = [];
  for (const { inA, inB } of moments) {
    context.signal.throwIfAborted();
    const one = await lightsAt(inA.recording, inA.at, a.curve, context);
    const other = await lightsAt(inB.recording, inB.at, b.curve, context);
    if (one.length > 50 && other.length > 50) clouds.push({ a: one, b: other });
  }
  if (clouds.length < leastMoments) return null;
  const levelA = brightOf(clouds.flatMap((cloud) => cloud.a));
  const levelB = brightOf(clouds.flatMap((cloud) => cloud.b));
  for (const cloud of clouds)
    pairs.push({ to: evenShares(cloud.a, levelA), from: evenShares(cloud.b, levelB) });
  const match = matchScene(pairs);
  if (!match) return null;
  const k = levelA / levelB;
  const matrix = match.matrix.map((row) => row.map((v) => v * k)) as unknown as Matrix3;
  const { uncertainty } = match;
  // The moments left out gave no match of their own: how unsure this one is cannot be said.
  if (!Number.isFinite(uncertainty)) return null;
  return {
    by: "scene",
    model: `${match.level === "matrix" ? "3×3" : "one gain a channel"} in linear light, by what both cameras see; ${curvesInWords(a, b)}`,
    weaker: `No chart was filmed, so camera ${b.device} was matched by what both cameras see at ${clouds.length} moments: weaker than by a chart, and unsure by ${oneDecimal(uncertainty)} units or so (in about four scenes of five; more where the two see little in common).${assumedInWords(a, b)}`,
    uncertainty,
    before: match.before,
    after: match.after,
    transform: transformOf(a.curve, b.curve, matrix),
    toLab: (code) => labOf(throughCurve(a.curve, code).map((v) => v / levelA) as unknown as Triple),
  };
}

async function lightsAt(
  recording: Recording,
  at: number,
  curve: Curve,
  context: MeasureContext,
): Promise<Triple[]> {
  for await (const frame of context.media.framesAt(recording, [at])) return lightsOf(frame, curve);
  return [];
}

/** Light of a grid of points, each the mean of some pixels; clipped and crushed ones left out. */
function lightsOf({ width, height, rgb }: DeepPicture, curve: Curve): Triple[] {
  const step = Math.max(2, Math.floor(width / pointsAcross));
  const lights: Triple[] = [];
  for (let y = step >> 1; y + 1 < height; y += step) {
    for (let x = step >> 1; x + 1 < width; x += step) {
      const code = [0, 1, 2].map((c) => {
        const at = (yy: number, xx: number): number => rgb[(yy * width + xx) * 3 + c]!;
        return (at(y, x) + at(y, x + 1) + at(y + 1, x) + at(y + 1, x + 1)) / (4 * 65_535);
      }) as unknown as Triple;
      if (Math.min(...code) < darkest || Math.max(...code) > brightest) continue;
      lights.push(throughCurve(curve, code));
    }
  }
  return lights;
}

/** A light that stands for white: brighter than nine parts in ten. */
function brightOf(lights: readonly Triple[]): number {
  const sorted = lights.map((light) => light[1]).sort((p, q) => p - q);
  return Math.max(1.3 * (sorted[Math.floor(0.9 * sorted.length)] ?? 1), 1e-6);
}

function evenShares(lights: readonly Triple[], level: number): SeenColours {
  return {
    lights: lights.map(([r, g, b]) => [r / level, g / level, b / level]),
    shares: lights.map(() => 1 / lights.length),
  };
}

function transformOf(curveA: Curve, curveB: Curve, matrix: Matrix3): (code: Triple) => Triple {
  return (code) => {
    const light = applyMatrix3(matrix, throughCurve(curveB, code));
    return [curveA.toCode(light[0]), curveA.toCode(light[1]), curveA.toCode(light[2])];
  };
}

const grounds = {
  tag: " by its tag",
  given: " as given",
  recognised: " by the chart's greys",
  learned: "",
} as const;

function curvesInWords(a: WeakSide, b: WeakSide): string {
  const how = ({ curve, isAssumed }: WeakSide): string =>
    isAssumed ? `${curve.name} for want of better` : `${curve.name}${grounds[curve.known]}`;
  return `camera ${a.device}'s curve ${how(a)}, camera ${b.device}'s ${how(b)}`;
}

function assumedInWords(a: WeakSide, b: WeakSide): string {
  const unknown = [a, b].filter(({ isAssumed }) => isAssumed).map(({ device }) => device);
  if (unknown.length === 0) return "";
  return ` Camera ${unknown.join(" and ")}'s curve is not known and was taken for BT.709.`;
}

const toXyz = rgbToXyzMatrix(bt709);
const white = chromaticityToXyz(whiteD65);
const labOf = (light: Triple): Triple => xyzToLab(applyMatrix3(toXyz, light), white);
