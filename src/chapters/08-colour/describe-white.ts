import type { ColourResult } from "#documents/chapter-results";
import type { Recording } from "#documents/recording";
import { findCameraCurve } from "#science/colour/camera-curve";
import { chartWhite } from "#science/colour/chart-reference";
import { type ChartShot, evenedLight } from "#science/colour/chart-shot";
import { applyMatrix3 } from "#science/colour/matrix3";
import { nameWhite } from "#science/colour/planckian";
import { bt709, bt2020, p3D65, rgbToXyzMatrix } from "#science/colour/primaries";

// Rec. ITU-T H.273 (07/2021), Table 2; others are read as BT.709.
const primariesByCode: Readonly<Record<number, typeof bt709>> = { 1: bt709, 9: bt2020, 12: p3D65 };

/**
 * A chart's white as a camera recorded it: the gains that would make its greys grey, in stops, and the colour that
 * they have on a screen of the stream's own primaries. That is the light as the camera's own white balance left it,
 * not the lamp's.
 */
export function describeWhite(
  shot: ChartShot,
  recording: Recording,
): NonNullable<ColourResult["charts"][number]["white"]> {
  const { curve } = findCameraCurve(shot);
  const white = chartWhite(evenedLight(shot, curve)).map((v) => Math.max(v, 1e-6));
  const [r, g, b] = white as [number, number, number];
  const primaries = primariesByCode[recording.probe.picture?.colour.primaries ?? 1] ?? bt709;
  const { kelvin, duv } = nameWhite(applyMatrix3(rgbToXyzMatrix(primaries), [r, g, b]));
  return {
    gainStops: { red: Math.log2(g / r), blue: Math.log2(g / b) },
    kelvin: Math.round(kelvin),
    duv: Number(duv.toFixed(4)),
  };
}
