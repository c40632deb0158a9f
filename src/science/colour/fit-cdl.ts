import { applyCdl, type Cdl } from "./cdl.ts";
import { colourDifferenceParts } from "./ciede2000.ts";
import { levenbergMarquardt } from "./levenberg-marquardt.ts";
import type { Triple } from "./matrix3.ts";

/**
 * The CDL that comes nearest to a transform on some colours, by CIEDE2000.
 *
 * Ten numbers cannot do what a mix of channels between two curves does; say what it costs.
 *
 * @param codes - Code values that go in, 0 to 1.
 * @param wanted - L*a*b* that should come out.
 * @param toLab - L*a*b* of a code value that comes out.
 */
export function fitCdl(
  codes: readonly Triple[],
  wanted: readonly Triple[],
  toLab: (code: Triple) => Triple,
): Cdl {
  const residuals = (p: readonly number[]): Float64Array => {
    const cdl = unpack(p);
    const out = new Float64Array(codes.length * 3 + 10);
    codes.forEach((code, i) => {
      out.set(colourDifferenceParts(toLab(applyCdl(cdl, code)), wanted[i]!), i * 3);
    });
    // Near-equal answers are many; of these the plainest.
    for (let k = 0; k < 10; k++) out[codes.length * 3 + k] = 0.3 * p[k]!;
    return out;
  };
  return unpack(
    levenbergMarquardt(residuals, new Array<number>(10).fill(0), { maxSteps: 60, tolerance: 1e-7 })
      .parameters,
  );
}

/** Slopes, powers and saturation by their logarithms, so that they stay above 0. */
function unpack(p: readonly number[]): Cdl {
  const three = (from: number, f: (v: number) => number): Triple => [
    f(p[from]!),
    f(p[from + 1]!),
    f(p[from + 2]!),
  ];
  return {
    slope: three(0, Math.exp),
    offset: three(3, (v) => v),
    power: three(6, Math.exp),
    saturation: Math.exp(p[9]!),
  };
}
