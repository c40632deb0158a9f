import type { Chromaticity } from "./white-points.ts";

/**
 * Correlated colour temperature of a light near the daylight or black-body line, kelvin.
 *
 * Within about 2 K of the exact value from 2 856 K to 6 504 K; a rough word outside 2 000 K to 12 500 K.
 *
 * Source: McCamy 1992, Color Res. Appl. 17, 142-144.
 */
export function correlatedColourTemperature([x, y]: Chromaticity): number {
  const n = (x - 0.332) / (y - 0.1858);
  return -449 * n ** 3 + 3525 * n ** 2 - 6823.3 * n + 5520.33;
}
