import { bendCurve } from "./bend-curve.ts";
import { bradfordAdaptation } from "./bradford.ts";
import { type ChartShot, evenLight } from "./chart-shot.ts";
import { chart24Neutrals, chart24White, chart24Xyz } from "./chart24.ts";
import type { Curve } from "./curve.ts";
import type { NeutralSample } from "./grey-misses.ts";
import { curveOfTransferTag } from "./h273-transfer.ts";
import { xyzToLab } from "./lab.ts";
import { learnCurve } from "./learned-curve.ts";
import { applyMatrix3, invertMatrix3, multiplyMatrix3, type Triple } from "./matrix3.ts";
import { bt709, rgbToXyzMatrix } from "./primaries.ts";
import { recogniseCurve } from "./recognise-curve.ts";
import { chromaticityToXyz, whiteD65 } from "./white-points.ts";

/** A camera's curve and the grounds for it. */
export interface CameraCurve {
  readonly curve: Curve;
  /** Mean lightness error of the chart's greys under the tagged or given curve, L* units; null where none is named. */
  readonly tagError: number | null;
  /** True where a tag named a curve that the greys contradict. */
  readonly tagRefused: boolean;
  /** Root mean square of what a learned curve leaves at the greys, code values; null where it was not learned. */
  readonly residual: number | null;
}

/** Greys that are off by more than this on average, in L*, contradict a tag. Flare and paper spread stay below it. */
const contradictionLightness = 4;
/**
 * Off by more than this they show a knee or a lifted black on top of it. Charts of one kind differ from the published
 * greys by up to 7 % of the light (measured spectra of one against the maker's figures: 0.9 on average); what another
 * camera saw of this very chart is surer.
 */
const bendLightness = 1.2;
const bendLightnessSameChart = 0.6;

/** Linear light of the six greys by patch index, a perfect diffuser being 1. */
export type GreyLight = ReadonlyMap<number, Triple>;

const d50ToBt709 = multiplyMatrix3(
  invertMatrix3(rgbToXyzMatrix(bt709)),
  bradfordAdaptation(chart24White, chromaticityToXyz(whiteD65)),
);

/** What each channel of a camera like an eye gets from the chart's greys: near the reflectance, white a little warm. */
export const publishedGreys: GreyLight = new Map(
  chart24Neutrals.map((index) => [index, applyMatrix3(d50ToBt709, chart24Xyz[index]!)]),
);

/**
 * The curve of a camera from its transfer tag and from the chart's greys.
 *
 * A tag that names a curve is believed where the greys bear it out; where they show a knee or a lifted black the
 * curve is bent to them. Where they clearly contradict it, or no curve is named, the greys' known reflectances tell:
 * a published curve that explains them is taken ({@link recogniseCurve}); else one is learned.
 *
 * @param options - `without`: a patch to leave out, for honest errors. `greys`: light of the greys, by index, as published or
 *   as another camera of known curve saw this very chart.
 */
export function findCameraCurve(
  shot: ChartShot,
  {
    without,
    greys = publishedGreys,
  }: { readonly without?: number | undefined; readonly greys?: GreyLight } = {},
): CameraCurve {
  const { transfer, codes, illumination = evenLight, curve: given } = shot;
  const neutrals = chart24Neutrals.filter((index) => index !== without);
  if (given) {
    const tagError = lightnessError(given, neutrals, codes, illumination);
    return { curve: given, tagError, tagRefused: false, residual: null };
  }
  const samples = [
    ...greySamples(codes, illumination, neutrals, greys, 0),
    ...(shot.otherExposures ?? []).flatMap((other, k) =>
      greySamples(
        other.codes,
        other.illumination ?? evenLight,
        chart24Neutrals.filter((index) => index !== without && !other.unusable?.includes(index)),
        greys,
        k + 1,
      ),
    ),
  ];
  const tagged = curveOfTransferTag(transfer);
  const tagError = tagged === null ? null : lightnessError(tagged, neutrals, codes, illumination, greys);
  const bentWhereOff = (base: Curve, off: number): Curve =>
    off <= (greys === publishedGreys ? bendLightness : bendLightnessSameChart)
      ? base
      : bendCurve(base, samples);
  if (tagged !== null && tagError !== null && tagError <= contradictionLightness) {
    return { curve: bentWhereOff(tagged, tagError), tagError, tagRefused: false, residual: null };
  }
  const tagRefused = tagged !== null;
  const recognised = recogniseCurve(samples);
  if (recognised) {
    const off = lightnessError(recognised, neutrals, codes, illumination, greys);
    return { curve: bentWhereOff(recognised, off), tagError, tagRefused, residual: null };
  }
  const { curve, residual } = learnCurve(samples);
  return { curve, tagError, tagRefused, residual };
}

function greySamples(
  codes: readonly Triple[],
  illumination: readonly number[],
  neutrals: readonly number[],
  greys: GreyLight,
  shot: number,
): NeutralSample[] {
  return neutrals.map((index) => ({
    light: greys.get(index)!.map((v) => v * illumination[index]!) as unknown as Triple,
    code: codes[index]!,
    shot,
  }));
}

/** How far greys lie from their published lightness once one gain a channel is taken out; mean over greys, L* units. */
export function lightnessError(
  curve: Curve,
  neutrals: readonly number[],
  codes: readonly Triple[],
  illumination: readonly number[] = evenLight,
  greys: GreyLight = publishedGreys,
): number {
  let sum = 0;
  for (let c = 0; c < 3; c++) {
    const lights = neutrals.map(
      (index) => Math.max(curve.toLight(codes[index]![c]!), 1e-6) / illumination[index]!,
    );
    // The gain that fits the middle greys: the ends are where flare and knees live.
    const logs = neutrals
      .map((index, i) => Math.log(lights[i]! / greys.get(index)![c]!))
      .sort((a, b) => a - b);
    const gain = Math.exp(-logs[Math.floor(logs.length / 2)]!);
    neutrals.forEach((index, i) => {
      const L = xyzToLab([0, lights[i]! * gain, 0], [1, 1, 1])[0];
      const wanted = xyzToLab([0, greys.get(index)![c]!, 0], [1, 1, 1])[0];
      sum += Math.abs(L - wanted);
    });
  }
  return sum / (neutrals.length * 3);
}
