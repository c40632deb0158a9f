/*
 * Exposure by incident light. ISO 2720:1974: N²/t = E·S/C. C lies between 240 and 400 for flat receptors; the
 * cinematographers' table of footcandles is footcandles = 25·T²/(EI·t): C = 25 fc·s = 269.1 lx·s.
 */

/** The incident constant of the cinematographers' table, lux seconds. */
export const cineConstant: number = 25 / 0.3048 ** 2;

/** Shutter time, seconds: angle / (360 · frame rate). */
export const shutterSeconds = (angleDegrees: number, frameRate: number): number =>
  angleDegrees / (360 * frameRate);

/** What is set on a camera. */
export interface ExposureSettings {
  /** T-stop; the f-number where no T-stop is known. */
  readonly tStop: number;
  readonly seconds: number;
  readonly iso: number;
  /** ND in front, stops. */
  readonly nd: number;
}

/**
 * Illuminance that a setting asks for, lux.
 *
 * @param constant - Incident constant C, lux seconds. Meters differ by about a third of a stop.
 */
export const luxWanted = (
  { tStop, seconds, iso, nd }: ExposureSettings,
  constant: number = cineConstant,
): number => (constant * tStop * tStop * 2 ** nd) / (iso * seconds);

/** Stops of light over (+) or under (-) what a setting asks for. */
export const exposureStops = (
  lux: number,
  settings: ExposureSettings,
  constant: number = cineConstant,
): number => Math.log2(lux / luxWanted(settings, constant));

/** The T-stop that a light asks for. */
export const tStopFor = (
  lux: number,
  { seconds, iso, nd }: Omit<ExposureSettings, "tStop">,
  constant: number = cineConstant,
): number => Math.sqrt((lux * iso * seconds) / (constant * 2 ** nd));

/** The exposure index that a light asks for. */
export const isoFor = (
  lux: number,
  { seconds, tStop, nd }: Omit<ExposureSettings, "iso">,
  constant: number = cineConstant,
): number => (constant * tStop * tStop * 2 ** nd) / (lux * seconds);

/** What is fixed on a camera, and what may be chosen. */
export interface ExposureChoice {
  readonly lux: number;
  readonly tStop: number;
  readonly seconds: number;
  /** Fixed where it is said. */
  readonly iso?: number | undefined;
  readonly nd?: number | undefined;
  /** ISO steps to choose from, rising. */
  readonly isos: readonly number[];
  /** ND that the body carries, stops; 0 is always there. */
  readonly nds: readonly number[];
}

/** A solved exposure. */
export interface SolvedExposure extends ExposureSettings {
  /** Stops over (+) or under (-) when all is set so. */
  readonly off: number;
  /** ND in front of the lens that would close it, stops, at this ISO; 0 where it is dark enough. */
  readonly ndWanted: number;
}

/** Within this many stops an exposure is right: meters differ by as much. Common practice. */
export const rightStops = 1 / 3;

/**
 * Chooses ISO and ND for a light with aperture and shutter fixed: the lowest ISO with the least ND that comes within a
 * third of a stop, else whatever comes nearest.
 */
export function solveExposure(choice: ExposureChoice): SolvedExposure {
  const { lux, tStop, seconds } = choice;
  const isos = choice.iso !== undefined ? [choice.iso] : choice.isos;
  const nds = choice.nd !== undefined ? [choice.nd] : [0, ...choice.nds.filter((nd) => nd > 0)];
  let best: SolvedExposure | undefined;
  for (const iso of isos)
    for (const nd of nds) {
      const off = exposureStops(lux, { tStop, seconds, iso, nd });
      const wins =
        best === undefined || (Math.abs(off) < Math.abs(best.off) - 1e-9 && Math.abs(best.off) > rightStops);
      if (wins) best = { tStop, seconds, iso, nd, off, ndWanted: Math.max(0, off + nd) };
    }
  return best ?? { tStop, seconds, iso: 100, nd: 0, off: Number.NaN, ndWanted: 0 };
}
