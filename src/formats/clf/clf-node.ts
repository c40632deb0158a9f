import type { Cdl } from "#science/colour/cdl";
import type { Lut3d } from "#science/colour/lut3d";
import type { Matrix3, Triple } from "#science/colour/matrix3";
import type { NamedLog } from "#science/colour/named-log";

export type ExponentStyle =
  | "basicFwd"
  | "basicRev"
  | "basicMirrorFwd"
  | "basicMirrorRev"
  | "basicPassThruFwd"
  | "basicPassThruRev"
  | "monCurveFwd"
  | "monCurveRev"
  | "monCurveMirrorFwd"
  | "monCurveMirrorRev";

/** Exponent and offset of one channel. */
export interface ExponentParams {
  readonly exponent: number;
  /** Of the monCurve styles; 0 for the others. */
  readonly offset: number;
}

type Three<T> = readonly [T, T, T];

/**
 * One process node. Numbers are as between 0 and 1: the file's bit depths, which only scale what is written, are
 * already taken out.
 */
export type ClfNode =
  | { readonly kind: "Matrix"; readonly matrix: Matrix3; readonly offset: Triple }
  | {
      readonly kind: "LUT1D";
      /** n × 3 numbers, R, G, B interleaved. */
      readonly table: Float32Array;
      readonly size: number;
      /** Entries are for each half-float value and not evenly spaced. */
      readonly halfDomain: boolean;
    }
  | { readonly kind: "LUT3D"; readonly lut: Lut3d; readonly interpolation: "trilinear" | "tetrahedral" }
  | {
      readonly kind: "Range";
      readonly scale: number;
      readonly offset: number;
      /** Bounds after scaling; null where that side is open. */
      readonly low: number | null;
      readonly high: number | null;
    }
  | { readonly kind: "Log"; readonly isToLog: boolean; readonly channels: Three<NamedLog> }
  | { readonly kind: "Exponent"; readonly style: ExponentStyle; readonly channels: Three<ExponentParams> }
  | {
      readonly kind: "ASC_CDL";
      readonly cdl: Cdl;
      readonly isReverse: boolean;
      readonly clamp: boolean;
    };

/** A file of the Common LUT Format: its nodes are applied in order. */
export interface ClfFile {
  readonly id: string | null;
  readonly name: string | null;
  readonly descriptions: readonly string[];
  readonly inputDescriptor: string | null;
  readonly outputDescriptor: string | null;
  readonly nodes: readonly ClfNode[];
}
