import { blackBody, type NamedWhite, nameWhite } from "../colour/planckian.ts";

/** One light's share at a point. */
export interface LightPart {
  readonly lux: number;
  readonly kelvin: number;
}

/**
 * White of several lights that fall together: chromaticities mixed by luminance, each taken as a black body, then the
 * nearest one on the line.
 *
 * @returns Null in the dark.
 */
export function mixedWhite(parts: readonly LightPart[]): NamedWhite | null {
  let [X, Y, Z] = [0, 0, 0];
  for (const { lux, kelvin } of parts) {
    if (!(lux > 0)) continue;
    const [u, v] = blackBody(Math.max(1000, Math.min(15_000, kelvin)));
    // CIE 1960: x = 3u/(2u - 8v + 4), y = 2v/(2u - 8v + 4).
    const d = 2 * u - 8 * v + 4;
    const [x, y] = [(3 * u) / d, (2 * v) / d];
    X += (x / y) * lux;
    Y += lux;
    Z += ((1 - x - y) / y) * lux;
  }
  return Y > 0 ? nameWhite([X, Y, Z]) : null;
}
