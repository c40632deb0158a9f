import { chart24Neutrals } from "#science/colour/chart24";
import { leastSquares } from "#science/colour/linear-solve";
import type { Triple } from "#science/colour/matrix3";
import { rootPolynomialTerms } from "#science/colour/root-polynomial";

type Map3 = (value: Triple) => Triple;

/** One gain a channel in linear light, by the five lighter greys. */
export function gainsOnly(from: readonly Triple[], to: readonly Triple[]): Map3 {
  const greys = chart24Neutrals.slice(0, 5);
  const gains = [0, 1, 2].map((c) => {
    let [xy, xx] = [0, 0];
    for (const i of greys) {
      xy += from[i]![c]! * to[i]![c]!;
      xx += from[i]![c]! ** 2;
    }
    return xy / xx;
  });
  return (v) => [v[0] * gains[0]!, v[1] * gains[1]!, v[2] * gains[2]!];
}

/** Plain least squares in linear light: 3x3 (degree 1) or root-polynomial (degree 2; Finlayson, Mackiewicz & Hurlbert 2015). */
export function leastSquaresLight(from: readonly Triple[], to: readonly Triple[], degree: 1 | 2): Map3 {
  const terms = from.map((v) => rootPolynomialTerms(v, degree));
  const rows = [0, 1, 2].map(
    (c) =>
      leastSquares(
        terms,
        to.map((v) => v[c]!),
      )!,
  );
  return (v) => {
    const t = rootPolynomialTerms(v, degree);
    return rows.map((row) => row.reduce((sum, w, k) => sum + w * t[k]!, 0)) as unknown as Triple;
  };
}

/** In code values: a curve a channel through the greys, then a 3x3 with an offset by least squares. */
export function curvesAndMatrix(from: readonly Triple[], to: readonly Triple[]): Map3 {
  const curves = [0, 1, 2].map((c) => {
    const points = chart24Neutrals
      .map((i) => [from[i]![c]!, to[i]![c]!] as const)
      .sort((p, q) => p[0] - q[0]);
    return (x: number): number => {
      let k = 0;
      while (k < points.length - 2 && x > points[k + 1]![0]) k++;
      const [p, q] = [points[k]!, points[k + 1]!];
      return p[1] + ((x - p[0]) * (q[1] - p[1])) / Math.max(q[0] - p[0], 1e-6);
    };
  });
  const bent = (v: Triple): Triple => [curves[0]!(v[0]), curves[1]!(v[1]), curves[2]!(v[2])];
  const terms = from.map((v) => [...bent(v), 1]);
  const rows = [0, 1, 2].map(
    (c) =>
      leastSquares(
        terms,
        to.map((v) => v[c]!),
        1e-9,
      )!,
  );
  return (v) => {
    const t = [...bent(v), 1];
    return rows.map((row) => row.reduce((sum, w, k) => sum + w * t[k]!, 0)) as unknown as Triple;
  };
}
