/** Stops that a neutral filter of a density takes: density / log10 2. */
export const stopsOfDensity = (density: number): number => density / Math.log10(2);

/** Density of a neutral filter that takes so many stops. */
export const densityOfStops = (stops: number): number => stops * Math.log10(2);

/** The usual set, by density. Common practice. */
const usualDensities = [0, 0.3, 0.6, 0.9, 1.2, 1.5, 1.8, 2.1];

/** The filter of the usual set (densities 0.3 to 2.1) that comes nearest to so many stops; 0 for none. */
export const nearestDensity = (stops: number): number =>
  usualDensities.reduce((best, density) =>
    Math.abs(stopsOfDensity(density) - stops) < Math.abs(stopsOfDensity(best) - stops) ? density : best,
  );
