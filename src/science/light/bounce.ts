/**
 * Light that a room throws back onto everything in it, lux: every lumen is reflected again and again.
 *
 * A mean over the room: right for a room without a dark half, a rough word else.
 *
 * @param lumens - All light that enters the room and meets its surfaces.
 * @param squareMetres - Area of all its surfaces.
 * @param reflectance - Their mean, 0 to under 1.
 * @param first - Reflectance of the surface that the light meets first, where that is known.
 *
 * Source: the integrating sphere's equation, E = Φρ / (S(1 - ρ)) (CIE 084:1989, 6.2).
 */
export const bouncedLux = (
  lumens: number,
  squareMetres: number,
  reflectance: number,
  first: number = reflectance,
): number => (lumens * first) / (squareMetres * (1 - Math.min(0.95, reflectance)));
