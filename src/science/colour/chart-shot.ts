import type { Curve } from "./curve.ts";
import type { Triple } from "./matrix3.ts";

/** A camera's shot of the chart: code values of the 24 patches, in order, and the stream's transfer tag. */
export interface ChartShot {
  readonly codes: readonly Triple[];
  /** ITU-T H.273 transfer characteristics. */
  readonly transfer: number;
  /** Light on each patch, 1 being even; even where left out. */
  readonly illumination?: readonly number[];
  /** Patches that say nothing, clipped ones: judged like the others but not fitted to. Never a grey. */
  readonly unusable?: readonly number[];
  /** The camera's curve where a person gave it. */
  readonly curve?: Curve;
  /** The same chart in the same light at other exposures: they teach the curve, and nothing else. */
  readonly otherExposures?: readonly OtherExposure[];
}

/** One more exposure of a chart. */
export interface OtherExposure {
  readonly codes: readonly Triple[];
  readonly illumination?: readonly number[];
  /** Patches that are clipped or hidden in it. */
  readonly unusable?: readonly number[];
}

/** The same light on all 24 patches. */
export const evenLight: readonly number[] = new Array<number>(24).fill(1);

/** Linear light of a shot's patches as if the chart were evenly lit. */
export function evenedLight({ codes, illumination }: ChartShot, curve: Curve): Triple[] {
  return codes.map((code, i) => {
    const light = throughCurve(curve, code);
    const k = 1 / (illumination?.[i] ?? 1);
    return [light[0] * k, light[1] * k, light[2] * k];
  });
}

/** Code values to linear light, channel by channel. */
export function throughCurve(curve: Curve, code: Triple): Triple {
  return [curve.toLight(code[0]), curve.toLight(code[1]), curve.toLight(code[2])];
}
