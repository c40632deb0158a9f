import type { MeasureContext } from "#documents/chapter";
import type { DeepPicture } from "#documents/media-reader";
import type { CameraMatch } from "#science/colour/camera-match";
import { throughCurve } from "#science/colour/chart-shot";
import type { Triple } from "#science/colour/matrix3";
import type { Moment } from "./common-moments.ts";

const pointsAcross = 120;
const leastPoints = 40;
const leastMoments = 2;
/** More than this is no exposure: what was taken for the face is something else. */
const mostStops = 1.5;

/**
 * How much brighter B's picture has to become for the sitter's face to be as bright as in A's, once the match is on;
 * stops, above 0 is brighter. The face is what has the colour of skin, in the light that the chart told.
 *
 * @returns null where too little skin is seen, or no moment is shared.
 */
export async function faceStops(
  match: CameraMatch,
  moments: readonly { readonly inA: Moment; readonly inB: Moment }[],
  context: MeasureContext,
): Promise<number | null> {
  const differences: number[] = [];
  for (const { inA, inB } of moments) {
    const a = await skinLight(inA, context, (code) => throughCurve(match.curveA.curve, code), match);
    const b = await skinLight(
      inB,
      context,
      (code) => match.mix.apply(throughCurve(match.curveB.curve, code)),
      match,
    );
    if (a !== null && b !== null) differences.push(Math.log2(a / b));
  }
  if (differences.length < leastMoments) return null;
  differences.sort((p, q) => p - q);
  const stops = differences[differences.length >> 1]!;
  return Math.abs(stops) > mostStops ? null : stops;
}

/** Median luminance of what looks like skin in A's light, the chart's white being 1; null where there is too little. */
async function skinLight(
  { recording, at }: Moment,
  context: MeasureContext,
  toLightA: (code: Triple) => Triple,
  { view }: CameraMatch,
): Promise<number | null> {
  for await (const frame of context.media.framesAt(recording, [at])) {
    const found = skinPoints(frame, toLightA, view.toLab);
    if (found.length < leastPoints) return null;
    const lights = found.map((light) => view.toXyz(light)[1]).sort((p, q) => p - q);
    return lights[lights.length >> 1]!;
  }
  return null;
}

/** Points whose hue, chroma and lightness are those of skin, light or dark: common practice, and measured skin spectra. */
function skinPoints(
  { width, height, rgb }: DeepPicture,
  toLightA: (code: Triple) => Triple,
  toLab: (light: Triple) => Triple,
): Triple[] {
  const step = Math.max(1, Math.floor(width / pointsAcross));
  const found: Triple[] = [];
  for (let y = step >> 1; y < height; y += step) {
    for (let x = step >> 1; x < width; x += step) {
      const i = (y * width + x) * 3;
      const light = toLightA([rgb[i]! / 65_535, rgb[i + 1]! / 65_535, rgb[i + 2]! / 65_535]);
      const [L, a, b] = toLab(light);
      const chroma = Math.hypot(a, b);
      const hue = (Math.atan2(b, a) * 180) / Math.PI;
      if (L > 20 && L < 90 && chroma > 11 && chroma < 38 && hue > 28 && hue < 72) found.push(light);
    }
  }
  return found;
}

/** The same match with B's picture made brighter by some stops of light. */
export function withExposure(match: CameraMatch, stops: number): CameraMatch {
  const k = 2 ** stops;
  const { curveA, curveB, mix } = match;
  const apply = (light: Triple): Triple => {
    const [r, g, b] = mix.apply(light);
    return [r * k, g * k, b * k];
  };
  return {
    ...match,
    mix: { ...mix, weights: mix.weights.map((row) => row.map((w) => w * k)), apply },
    transform: (code) => {
      const [r, g, b] = apply(throughCurve(curveB.curve, code));
      return [curveA.curve.toCode(r), curveA.curve.toCode(g), curveA.curve.toCode(b)];
    },
  };
}
