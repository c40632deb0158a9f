import type { Triple } from "./matrix3.ts";

/** A three-dimensional table of colours. */
export interface Lut3d {
  /** Points along each edge, 2 or more. */
  readonly size: number;
  /** Inputs at the first and last point, per channel; usually 0 and 1. Outside, inputs are clamped. */
  readonly domainMin: Triple;
  readonly domainMax: Triple;
  /** size³ × 3 numbers, red index fastest, blue slowest, R, G, B interleaved. Not limited to 0..1. */
  readonly table: Float32Array;
}

/** Fills a table by asking a function at every lattice point; the domain is 0 to 1. */
export function makeLut3d(size: number, transform: (code: Triple) => Triple): Lut3d {
  const table = new Float32Array(size ** 3 * 3);
  let k = 0;
  for (let b = 0; b < size; b++) {
    for (let g = 0; g < size; g++) {
      for (let r = 0; r < size; r++) {
        const out = transform([r / (size - 1), g / (size - 1), b / (size - 1)]);
        table[k++] = out[0];
        table[k++] = out[1];
        table[k++] = out[2];
      }
    }
  }
  return { size, domainMin: [0, 0, 0], domainMax: [1, 1, 1], table };
}

/**
 * A colour through a table, by tetrahedral interpolation: the cube about the colour is cut into six along its grey
 * diagonal, so greys never pick up a tint from a corner.
 *
 * Source: common practice; Kasson, Nin, Plouffe & Hafner 1995, J. Electron. Imaging 4(3).
 */
export function sampleLut3d({ size, domainMin, domainMax, table }: Lut3d, colour: Triple): Triple {
  const cell = [0, 0, 0];
  const part = [0, 0, 0];
  for (let c = 0; c < 3; c++) {
    const unit = (colour[c]! - domainMin[c]!) / (domainMax[c]! - domainMin[c]!);
    const at = Math.min(1, Math.max(0, unit)) * (size - 1);
    cell[c] = Math.min(size - 2, Math.floor(at));
    part[c] = at - cell[c]!;
  }
  const steps = [3, 3 * size, 3 * size * size];
  const base = cell[0]! * steps[0]! + cell[1]! * steps[1]! + cell[2]! * steps[2]!;
  // Walk from the near corner to the far one, the largest part first.
  const order = [0, 1, 2].sort((p, q) => part[q]! - part[p]!);
  const out = [table[base]!, table[base + 1]!, table[base + 2]!];
  let corner = base;
  for (const axis of order) {
    const next = corner + steps[axis]!;
    const weight = part[axis]!;
    for (let c = 0; c < 3; c++) out[c] = out[c]! + weight * (table[next + c]! - table[corner + c]!);
    corner = next;
  }
  return out as unknown as Triple;
}
