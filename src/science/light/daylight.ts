/*
 * Daylight outside by the sun's altitude, clear, hazy (partly cloudy) or overcast.
 *
 * Source: the IES model of daylight availability (Gillette and Treado 1985; IES RP-21): sun E = 127.5 klx · e^(-c/sin h);
 * sky on level ground E = A + B·sin^C h; c, A, B, C per sky. Values from memory: a figure of a real day lies anywhere
 * within a factor of two.
 */

/** The sky as a person says it. */
export type SkyKind = "clear" | "hazy" | "overcast";

const skies: Record<SkyKind, { c: number; A: number; B: number; C: number; kelvin: number }> = {
  // Colour of the sky's own light, without the sun: common practice.
  clear: { c: 0.21, A: 800, B: 15_500, C: 0.5, kelvin: 10_000 },
  hazy: { c: 0.8, A: 300, B: 45_000, C: 1, kelvin: 7000 },
  overcast: { c: Number.POSITIVE_INFINITY, A: 300, B: 21_000, C: 1, kelvin: 6500 },
};

/** Light outside, lux. */
export interface DaylightLux {
  /** Of the sun alone, on a surface that faces it. */
  readonly sun: number;
  /** Of the whole sky on open level ground. */
  readonly sky: number;
  readonly sunKelvin: number;
  readonly skyKelvin: number;
}

/**
 * Daylight by the sun's altitude.
 *
 * @param altitudeDegrees - Of the sun over the horizon; under it both are taken as nothing.
 */
export function daylightLux(sky: SkyKind, altitudeDegrees: number): DaylightLux {
  const { c, A, B, C, kelvin } = skies[sky];
  if (altitudeDegrees <= 0) return { sun: 0, sky: 0, sunKelvin: 2000, skyKelvin: kelvin };
  const sine = Math.sin((altitudeDegrees * Math.PI) / 180);
  return {
    sun: 127_500 * Math.exp(-c / sine),
    sky: A + B * sine ** C,
    // 2000 K on the horizon, 3500 K at 10°, 5500 K from 40° on; from memory.
    sunKelvin: 5600 - 3600 * Math.exp(-altitudeDegrees / 13),
    skyKelvin: kelvin,
  };
}
