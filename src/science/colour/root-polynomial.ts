import type { Triple } from "./matrix3.ts";

/**
 * The terms of root-polynomial colour correction: every monomial of degree k under its k-th root.
 *
 * Twice the light gives twice each term, so a fit made at one exposure holds at another; a plain polynomial's
 * does not. Negative light counts as none under a root.
 *
 * @param degree - 1: R, G, B. 2 adds √RG, √GB, √RB. 3 adds the seven cube roots.
 *
 * Source: Finlayson, Mackiewicz & Hurlbert 2015, IEEE Trans. Image Process. 24(5) 1460-1470.
 */
export function rootPolynomialTerms([r, g, b]: Triple, degree: 1 | 2 | 3): number[] {
  if (degree === 1) return [r, g, b];
  const R = Math.max(r, 0);
  const G = Math.max(g, 0);
  const B = Math.max(b, 0);
  const second = [r, g, b, Math.sqrt(R * G), Math.sqrt(G * B), Math.sqrt(R * B)];
  if (degree === 2) return second;
  return [
    ...second,
    Math.cbrt(R * G * G),
    Math.cbrt(G * B * B),
    Math.cbrt(R * B * B),
    Math.cbrt(G * R * R),
    Math.cbrt(B * G * G),
    Math.cbrt(B * R * R),
    Math.cbrt(R * G * B),
  ];
}
