/**
 * Camera A's curve: a logarithm with a straight toe, in the form `cameraLinToLog` of SMPTE ST 2136-1 (the
 * Common LUT Format). The parameters are the demo's own.
 */
export const cameraALog = {
  base: 2,
  logSideSlope: 0.108,
  logSideOffset: 0.641,
  linSideSlope: 1,
  linSideOffset: 0.02,
  linSideBreak: -0.004,
} as const;

/** Light (0.18 is mid grey) to code value (0 to 1 is the stream's own range). */
export function lightToCameraALog(light: number): number {
  const { logSideSlope, logSideOffset, linSideSlope, linSideOffset, linSideBreak } = cameraALog;
  const inside = linSideSlope * Math.max(light, linSideBreak) + linSideOffset;
  const log = logSideSlope * Math.log2(inside) + logSideOffset;
  if (light > linSideBreak) return Math.min(1, log);
  // the straight part goes on with the curve's own slope at the break
  const slope = (logSideSlope * linSideSlope) / (inside * Math.LN2);
  return log + slope * (light - linSideBreak);
}

/** The inverse of {@link lightToCameraALog}, above the break. */
export function cameraALogToLight(code: number): number {
  const { logSideSlope, logSideOffset, linSideSlope, linSideOffset } = cameraALog;
  return (2 ** ((code - logSideOffset) / logSideSlope) - linSideOffset) / linSideSlope;
}

/** Where camera B's shoulder begins, in light. Below it the curve is that of ITU-R BT.709-6, item 1.2. */
export const cameraBKneeLight = 0.82;

/** Light to code value: BT.709's curve, bent over from the knee so that 4 times white just clips. */
export function lightToCameraB(light: number): number {
  const oetf = (l: number): number => (l < 0.018 ? 4.5 * l : 1.099 * l ** 0.45 - 0.099);
  if (light <= cameraBKneeLight) return oetf(Math.max(0, light));
  const from = oetf(cameraBKneeLight);
  const past = Math.min(1, (light - cameraBKneeLight) / (4 - cameraBKneeLight));
  return from + (1 - from) * (1 - (1 - past) ** 4.2);
}

/** A curve as a table over light 0 to `most`, fine where it is steep. */
export function tabulated(curve: (light: number) => number, most: number): (light: number) => number {
  const steps = 8192;
  // the square root spreads the dark end
  const table = Float32Array.from({ length: steps + 2 }, (_, i) => curve((i / steps) ** 2 * most));
  return (light) => {
    const at = light <= 0 ? 0 : light >= most ? steps : Math.sqrt(light / most) * steps;
    const whole = at | 0;
    return table[whole]! + (table[whole + 1]! - table[whole]!) * (at - whole);
  };
}
