import { headMetres } from "../people/body-points.ts";

/**
 * How much larger the nose is drawn than the ear, seen from the front: distance of the ear over distance of the nose.
 *
 * @param eyesMetres - From the lens to the eyes.
 * @returns 1 from far away; 1.10 and more makes a face look pushed forward (common practice).
 */
export function noseToEar(eyesMetres: number): number {
  const nose = eyesMetres - (headMetres.noseToEar - headMetres.eyesForward);
  return (nose + headMetres.noseToEar) / nose;
}
