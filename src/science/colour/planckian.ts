import type { Triple } from "./matrix3.ts";
import { type Chromaticity, xyzToChromaticity } from "./white-points.ts";

/** A white as photographers name it. */
export interface NamedWhite {
  /** Correlated colour temperature, kelvin, 1 000 to 15 000. */
  readonly kelvin: number;
  /** Distance from the black-body line in CIE 1960 u, v: above it (greenish) positive, below it (magenta) negative. */
  readonly duv: number;
}

/**
 * Correlated colour temperature and tint of a white: the nearest point of the black-body line in CIE 1960 u, v.
 *
 * Source: the definition, CIE 015:2018, 9.5; the sign of Duv as in ANSI C78.377. The line by Krystek 1985, Color Res.
 * Appl. 10(1) 38-40, within 8e-5 of u and 9e-5 of v.
 */
export function nameWhite(xyz: Triple): NamedWhite {
  const [u, v] = toUv(xyzToChromaticity(xyz));
  const away = (mired: number): number => {
    const [pu, pv] = blackBody(1e6 / mired);
    return Math.hypot(u - pu, v - pv);
  };
  // In reciprocal kelvin the distance has one valley; a coarse look, then thirds.
  let best = 100;
  for (let mired = 66; mired <= 1000; mired += 4) if (away(mired) < away(best)) best = mired;
  let [low, high] = [Math.max(1e6 / 15_000, best - 4), Math.min(1000, best + 4)];
  for (let i = 0; i < 60; i++) {
    const [p, q] = [low + (high - low) / 3, high - (high - low) / 3];
    if (away(p) < away(q)) high = q;
    else low = p;
  }
  const mired = (low + high) / 2;
  return { kelvin: 1e6 / mired, duv: (v >= blackBody(1e6 / mired)[1] ? 1 : -1) * away(mired) };
}

function toUv([x, y]: Chromaticity): [number, number] {
  const d = -2 * x + 12 * y + 3;
  return [(4 * x) / d, (6 * y) / d];
}

/**
 * The black body's place in CIE 1960 u, v at a temperature in kelvin, 1 000 to 15 000.
 *
 * Source: Krystek 1985; coefficients from memory, checked against the published whites.
 */
export function blackBody(t: number): [number, number] {
  return [
    (0.860117757 + 1.54118254e-4 * t + 1.28641212e-7 * t * t) /
      (1 + 8.42420235e-4 * t + 7.08145163e-7 * t * t),
    (0.317398726 + 4.22806245e-5 * t + 4.20481691e-8 * t * t) /
      (1 - 2.89741816e-5 * t + 1.61456053e-7 * t * t),
  ];
}
