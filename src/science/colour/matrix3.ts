/** Three numbers that belong together: RGB, XYZ, Lab, a white. */
export type Triple = readonly [number, number, number];
/** A 3×3 matrix, row by row. */
export type Matrix3 = readonly [Triple, Triple, Triple];

/** `m · v`, the column vector `v` through the matrix. */
export function applyMatrix3(m: Matrix3, v: Triple): Triple {
  const row = (r: Triple): number => r[0] * v[0] + r[1] * v[1] + r[2] * v[2];
  return [row(m[0]), row(m[1]), row(m[2])];
}

/** `a · b`: first `b`, then `a`. */
export function multiplyMatrix3(a: Matrix3, b: Matrix3): Matrix3 {
  const row = (r: Triple): Triple => [
    r[0] * b[0][0] + r[1] * b[1][0] + r[2] * b[2][0],
    r[0] * b[0][1] + r[1] * b[1][1] + r[2] * b[2][1],
    r[0] * b[0][2] + r[1] * b[1][2] + r[2] * b[2][2],
  ];
  return [row(a[0]), row(a[1]), row(a[2])];
}

/** A matrix with these numbers on its diagonal: one gain a channel. */
export function diagonal3(gains: Triple): Matrix3 {
  return [
    [gains[0], 0, 0],
    [0, gains[1], 0],
    [0, 0, gains[2]],
  ];
}

/**
 * The inverse by cofactors.
 *
 * @throws RangeError where the determinant is 0 (our own constants never are).
 */
export function invertMatrix3(m: Matrix3): Matrix3 {
  const [[a, b, c], [d, e, f], [g, h, i]] = m;
  const A = e * i - f * h;
  const B = f * g - d * i;
  const C = d * h - e * g;
  const determinant = a * A + b * B + c * C;
  if (determinant === 0) throw new RangeError("The matrix has no inverse.");
  const k = 1 / determinant;
  return [
    [A * k, (c * h - b * i) * k, (b * f - c * e) * k],
    [B * k, (a * i - c * g) * k, (c * d - a * f) * k],
    [C * k, (b * g - a * h) * k, (a * e - b * d) * k],
  ];
}
