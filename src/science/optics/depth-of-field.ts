/*
 * Depth of field and blur. Source: A. R. Greenleaf, Photographic Optics (1950): H = f²/(N·c) + f, the near limit
 * s(H - f)/(H + s - 2f), the far limit s(H - f)/(H - s); a point at b is drawn as a disc of (f²/N)·|b - s|/(b(s - f)).
 * All in millimetres, from the lens's front principal plane.
 */

/** What is counted as sharp: a share of the sensor's diagonal, or the picture's own grain. */
export type ConfusionRule = "diagonal/1500" | "diagonal/1730" | "two pixels";

/**
 * Diameter of the largest disc that passes for a point, mm.
 *
 * @param rule - `diagonal/1500` and `diagonal/1730`: handbooks' habits; `two pixels`: what the recording itself resolves.
 */
export function circleOfConfusionMm(
  rule: ConfusionRule,
  sensorMm: readonly [number, number],
  pixelsAcross: number,
): number {
  const diagonal = Math.hypot(sensorMm[0], sensorMm[1]);
  switch (rule) {
    case "diagonal/1500":
      return diagonal / 1500;
    case "diagonal/1730":
      return diagonal / 1730;
    case "two pixels":
      return (2 * sensorMm[0]) / pixelsAcross;
  }
}

/** The focus from which all beyond is sharp, mm: f²/(N·c) + f. */
export const hyperfocalMm = (focalMm: number, stop: number, confusionMm: number): number =>
  (focalMm * focalMm) / (stop * confusionMm) + focalMm;

/**
 * Near and far limit of what is sharp, mm.
 *
 * @returns `far` is Infinity from the hyperfocal distance on.
 *
 * @example
 * 50 mm at f/8 focused at 3 m with a circle of 0.03 mm is sharp from 2337.91 to 4185.27 mm.
 */
export function depthOfFieldMm(
  focalMm: number,
  stop: number,
  confusionMm: number,
  focusMm: number,
): { near: number; far: number } {
  const H = hyperfocalMm(focalMm, stop, confusionMm);
  const near = (focusMm * (H - focalMm)) / (H + focusMm - 2 * focalMm);
  const far = focusMm >= H - 1e-9 * H ? Number.POSITIVE_INFINITY : (focusMm * (H - focalMm)) / (H - focusMm);
  return { near, far };
}

/**
 * Diameter on the sensor of a point's disc, mm.
 *
 * @param atMm - Distance of the point; Infinity is an answer too.
 */
export function blurDiscMm(focalMm: number, stop: number, focusMm: number, atMm: number): number {
  const opening = (focalMm * focalMm) / (stop * (focusMm - focalMm));
  return Number.isFinite(atMm) ? (opening * Math.abs(atMm - focusMm)) / atMm : opening;
}
