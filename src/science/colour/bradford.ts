import {
  applyMatrix3,
  diagonal3,
  invertMatrix3,
  type Matrix3,
  multiplyMatrix3,
  type Triple,
} from "./matrix3.ts";

// Lam 1985, as in ICC.1 Annex E: XYZ to sharpened cone responses.
const bradford: Matrix3 = [
  [0.8951, 0.2664, -0.1614],
  [-0.7502, 1.7135, 0.0367],
  [0.0389, -0.0685, 1.0296],
];
const bradfordInverse = invertMatrix3(bradford);

/**
 * The matrix that takes XYZ seen under one white to XYZ seen alike under another (von Kries in Bradford's space).
 *
 * @param from - XYZ of the white that the colours were seen under; Y usually 1.
 * @param to - XYZ of the white wanted.
 *
 * Source: Lam 1985; ICC.1 Annex E.
 */
export function bradfordAdaptation(from: Triple, to: Triple): Matrix3 {
  const seen = applyMatrix3(bradford, from);
  const wanted = applyMatrix3(bradford, to);
  const gains = diagonal3([wanted[0] / seen[0], wanted[1] / seen[1], wanted[2] / seen[2]]);
  return multiplyMatrix3(bradfordInverse, multiplyMatrix3(gains, bradford));
}
