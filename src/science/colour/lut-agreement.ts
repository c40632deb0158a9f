import { colourDifferenceCie2000 } from "./ciede2000.ts";
import { type Lut3d, makeLut3d, sampleLut3d } from "./lut3d.ts";
import type { Triple } from "./matrix3.ts";

/** How far a table strays from the transform that it stands for, CIEDE2000. */
export interface LutAgreement {
  readonly percentile95: number;
  readonly worst: number;
}

/** Differences between a table and its transform on a fixed spread of colours through the whole cube. */
export function measureLutAgreement(
  lut: Lut3d,
  transform: (code: Triple) => Triple,
  toLab: (code: Triple) => Triple,
): LutAgreement {
  const differences: number[] = [];
  for (let i = 1; i <= 900; i++) {
    const code: Triple = [halton(i, 2), halton(i, 3), halton(i, 5)];
    differences.push(
      colourDifferenceCie2000(toLab(onScreen(transform(code))), toLab(onScreen(sampleLut3d(lut, code)))),
    );
  }
  differences.sort((p, q) => p - q);
  return { percentile95: differences[Math.floor(0.95 * differences.length)]!, worst: differences.at(-1)! };
}

/** The smallest of the usual tables, 33 or 65 points, that is as good as the transform to the eye; else 65. */
export function chooseLutSize(transform: (code: Triple) => Triple, toLab: (code: Triple) => Triple): Lut3d {
  const small = makeLut3d(33, transform);
  const { percentile95, worst } = measureLutAgreement(small, transform, toLab);
  return percentile95 <= 0.15 && worst <= 0.75 ? small : makeLut3d(65, transform);
}

/** Code values as a picture can hold them; the table itself keeps what lies outside, so that it bends nowhere. */
function onScreen(code: Triple): Triple {
  return [
    Math.min(1, Math.max(0, code[0])),
    Math.min(1, Math.max(0, code[1])),
    Math.min(1, Math.max(0, code[2])),
  ];
}

/** Evenly spread numbers from 0 to 1 that never repeat. Source: Halton 1960. */
function halton(index: number, base: number): number {
  let result = 0;
  let part = 1 / base;
  for (let i = index; i > 0; i = Math.floor(i / base)) {
    result += part * (i % base);
    part /= base;
  }
  return result;
}
