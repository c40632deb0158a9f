import type { Triple } from "./matrix3.ts";

/** Slope, offset and power of each channel, and one saturation. */
export interface Cdl {
  /** 0 or more. */
  readonly slope: Triple;
  readonly offset: Triple;
  /** Above 0. */
  readonly power: Triple;
  /** 0 or more; 1 leaves colours as they are. */
  readonly saturation: number;
}

export const identityCdl: Cdl = { slope: [1, 1, 1], offset: [0, 0, 0], power: [1, 1, 1], saturation: 1 };

// ASC CDL v1.2: the luma of saturation is BT.709's.
const luma: Triple = [0.2126, 0.7152, 0.0722];

/**
 * A colour through a CDL: slope, offset, power, then saturation.
 *
 * @param clamp - As the standard says, to 0..1 before the power and at the end. Without it a negative base passes
 *   through the power as it is (the NoClamp styles of the Common LUT Format).
 *
 * Source: ASC CDL v1.2 (2009-05-04); SMPTE ST 2136-1, ASC_CDL.
 */
export function applyCdl(cdl: Cdl, colour: Triple, clamp = true): Triple {
  const held = clamp ? unit : same;
  const powered = [0, 1, 2].map((c) => {
    const base = held(colour[c]! * cdl.slope[c]! + cdl.offset[c]!);
    return base < 0 ? base : base ** cdl.power[c]!;
  });
  return saturate(powered as unknown as Triple, cdl.saturation).map(held) as unknown as Triple;
}

/** The way back, clamped at the same places. Source: SMPTE ST 2136-1, ASC_CDL, style Rev. */
export function invertCdl(cdl: Cdl, colour: Triple, clamp = true): Triple {
  const held = clamp ? unit : same;
  const flat = saturate(colour.map(held) as unknown as Triple, 1 / cdl.saturation);
  return [0, 1, 2].map((c) => {
    const v = held(flat[c]!);
    const base = v < 0 ? v : v ** (1 / cdl.power[c]!);
    return held((base - cdl.offset[c]!) / cdl.slope[c]!);
  }) as unknown as Triple;
}

function saturate(colour: Triple, saturation: number): Triple {
  const grey = luma[0] * colour[0] + luma[1] * colour[1] + luma[2] * colour[2];
  return colour.map((v) => grey + saturation * (v - grey)) as unknown as Triple;
}

function unit(v: number): number {
  return Math.min(1, Math.max(0, v));
}

function same(v: number): number {
  return v;
}
