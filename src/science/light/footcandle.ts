/** One lumen on a square foot, in lux: 1 / 0.3048². */
export const luxPerFootcandle: number = 1 / 0.3048 ** 2;

/** Stops from one amount of light to another: log2 of the ratio. */
export const stopsBetween = (from: number, to: number): number => Math.log2(to / from);

/** Illuminance, lux, of a point source: candela over the distance squared, on a surface that faces it. */
export const inverseSquareLux = (candela: number, metres: number): number => candela / (metres * metres);
