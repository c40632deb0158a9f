import { chart24Neutrals, chart24White, chart24Xyz } from "./chart24.ts";
import { type ColourMix, fitColourMix } from "./colour-mix.ts";
import { xyzToLab } from "./lab.ts";
import type { Triple } from "./matrix3.ts";

/** How much each grey, white to black, says of a camera's white: the dark ones carry flare and noise. */
const neutralTrust = [1, 1, 1, 0.8, 0.4, 0.1];

/**
 * A camera's white: linear light of a perfect diffuser at the chart, from the greys.
 *
 * @param lights - Linear light of all 24 patches, in order.
 * @param without - A patch to leave out.
 */
export function chartWhite(lights: readonly Triple[], without?: number): Triple {
  const sum = [0, 0, 0];
  let total = 0;
  chart24Neutrals.forEach((index, i) => {
    if (index === without) return;
    const trust = neutralTrust[i]!;
    total += trust;
    for (let c = 0; c < 3; c++) sum[c] = sum[c]! + (trust * lights[index]![c]!) / chart24Xyz[index]![1];
  });
  return [sum[0]! / total, sum[1]! / total, sum[2]! / total];
}

/** Takes a camera's linear light to L*a*b* of the published chart: the eye by which differences are judged. */
export interface ReferenceView {
  /** Linear light to XYZ under D50, Y = 1 a perfect diffuser at the chart. White-preserving 3×3. */
  readonly mix: ColourMix;
  /** XYZ under D50 of linear light. */
  readonly toXyz: (light: Triple) => Triple;
  /** CIE L*a*b* under D50 of linear light. */
  readonly toLab: (light: Triple) => Triple;
  /** CIEDE2000 between the camera's patches so seen and the published ones is what {@link fitColourMix} made small. */
  readonly white: Triple;
}

/** Fits the view of a camera on the chart: a white-preserving 3×3 from its linear light to published XYZ (D50). */
export function fitReferenceView(
  lights: readonly Triple[],
  unusable: ReadonlySet<number> = new Set(),
): ReferenceView {
  const white = chartWhite(lights);
  const kept = lights.map((_, i) => i).filter((i) => !unusable.has(i));
  const mix = fitColourMix(
    {
      from: kept.map((i) => lights[i]!),
      to: kept.map((i) => chart24Xyz[i]!),
      whiteFrom: white,
      whiteTo: chartWhite(chart24Xyz),
      toLab: (xyz) => xyzToLab(xyz, chart24White),
    },
    "matrix",
  );
  return {
    mix,
    white,
    toXyz: mix.apply,
    toLab: (light) => xyzToLab(mix.apply(light), chart24White),
  };
}
