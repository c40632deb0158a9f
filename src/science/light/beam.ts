/**
 * How much of a lamp's intensity on its axis is left at an angle off it.
 *
 * A power of the cosine that halves at half the beam angle (a flat matte face has 120°: the cosine itself). From 170° on
 * the lamp shines round the sides too, which no cosine does: a bell curve with the same half.
 *
 * @param offAxisDegrees - Angle off the axis, 0 to 180.
 * @param beamDegrees - Full angle between the directions of half intensity, above 0.
 * @returns 0 to 1.
 */
export function beamShare(offAxisDegrees: number, beamDegrees: number): number {
  const half = beamDegrees / 2;
  if (half >= 85) return 2 ** -((offAxisDegrees / half) ** 2);
  const cosine = Math.cos((offAxisDegrees * Math.PI) / 180);
  return cosine <= 0 ? 0 : cosine ** (Math.log(0.5) / Math.log(Math.cos((half * Math.PI) / 180)));
}

/**
 * Light that leaves a lamp in all, lumens, for one candela on its axis.
 *
 * @param beamDegrees - Full angle between the directions of half intensity.
 */
export function lumensPerCandela(beamDegrees: number): number {
  const half = beamDegrees / 2;
  if (half < 85) {
    // Integral of cos^m over a hemisphere: 2π/(m + 1).
    return (2 * Math.PI) / (1 + Math.log(0.5) / Math.log(Math.cos((half * Math.PI) / 180)));
  }
  let sum = 0;
  const steps = 90;
  for (let i = 0; i < steps; i++) {
    const degrees = ((i + 0.5) * 180) / steps;
    sum += beamShare(degrees, beamDegrees) * Math.sin((degrees * Math.PI) / 180);
  }
  return (2 * Math.PI * sum * Math.PI) / steps;
}
