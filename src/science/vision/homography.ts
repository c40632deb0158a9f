import { leastSquares } from "#science/colour/linear-solve";

/** A point of a picture or of a plane, x to the right, y down. */
export type Point = readonly [x: number, y: number];

/** A plane seen in perspective: nine numbers row by row, the last being 1. */
export type Homography = readonly [number, number, number, number, number, number, number, number, number];

/** Where a point of the plane is seen. */
export function project(h: Homography, [x, y]: Point): Point {
  const w = h[6] * x + h[7] * y + h[8];
  return [(h[0] * x + h[1] * y + h[2]) / w, (h[3] * x + h[4] * y + h[5]) / w];
}

/**
 * The perspective that takes points of a plane to points of a picture, by linear least squares.
 *
 * @param from - Four or more points, no three of the first four in line.
 * @param to - As many.
 * @returns null where the points do not determine one.
 *
 * Source: Hartley & Zisserman 2004, Multiple View Geometry, 4.1 (inhomogeneous), with both sides centred and scaled.
 */
export function fitHomography(from: readonly Point[], to: readonly Point[]): Homography | null {
  if (from.length < 4) return null;
  const a = normaliser(from);
  const b = normaliser(to);
  const rows: number[][] = [];
  const wanted: number[] = [];
  from.forEach((p, i) => {
    const x = (p[0] - a.x) * a.k;
    const y = (p[1] - a.y) * a.k;
    const u = (to[i]![0] - b.x) * b.k;
    const v = (to[i]![1] - b.y) * b.k;
    rows.push([x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]);
    wanted.push(u, v);
  });
  const s = leastSquares(rows, wanted);
  if (s === null) return null;
  // Undo the scaling: picture = inverse(b) · s · a.
  const [h0, h1, h2, h3, h4, h5, h6, h7] = s as unknown as number[];
  const top = (r0: number, r1: number, r2: number, shift: number): [number, number, number] => {
    const m0 = r0 / b.k + shift * h6!;
    const m1 = r1 / b.k + shift * h7!;
    const m2 = r2 / b.k + shift;
    return [m0 * a.k, m1 * a.k, m2 - a.k * (m0 * a.x + m1 * a.y)];
  };
  const first = top(h0!, h1!, h2!, b.x);
  const second = top(h3!, h4!, h5!, b.y);
  const third: [number, number, number] = [h6! * a.k, h7! * a.k, 1 - a.k * (h6! * a.x + h7! * a.y)];
  const w = third[2];
  if (Math.abs(w) < 1e-12) return null;
  return [...first, ...second, ...third].map((value) => value / w) as unknown as Homography;
}

function normaliser(points: readonly Point[]): { x: number; y: number; k: number } {
  const n = points.length;
  const x = points.reduce((sum, p) => sum + p[0], 0) / n;
  const y = points.reduce((sum, p) => sum + p[1], 0) / n;
  const spread = points.reduce((sum, p) => sum + Math.hypot(p[0] - x, p[1] - y), 0) / n;
  return { x, y, k: spread > 0 ? Math.SQRT2 / spread : 1 };
}

/** The perspective back: from the picture to the plane. */
export function invertHomography(h: Homography): Homography {
  const [a, b, c, d, e, f, g, k, i] = h;
  const inverse = [
    e * i - f * k,
    c * k - b * i,
    b * f - c * e,
    f * g - d * i,
    a * i - c * g,
    c * d - a * f,
    d * k - e * g,
    b * g - a * k,
    a * e - b * d,
  ];
  return inverse.map((value) => value / inverse[8]!) as unknown as Homography;
}
