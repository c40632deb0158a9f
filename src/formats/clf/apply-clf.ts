import { applyCdl, invertCdl } from "#science/colour/cdl";
import { type Lut3d, sampleLut3d } from "#science/colour/lut3d";
import { applyMatrix3, type Triple } from "#science/colour/matrix3";
import { linearToNamedLog, namedLogToLinear } from "#science/colour/named-log";
import type { ClfFile, ClfNode, ExponentParams, ExponentStyle } from "./clf-node.ts";
import { halfPosition } from "./half-float.ts";

/**
 * A colour through a file of the Common LUT Format.
 *
 * @param colour - R, G, B; 0 and 1 are the ends of the file's input range. Not clamped but where a node clamps.
 *
 * Source: SMPTE ST 2136-1:2024; Academy S-2014-006 v3.0.
 */
export function applyClf({ nodes }: Pick<ClfFile, "nodes">, colour: Triple): Triple {
  return nodes.reduce((value, node) => applyNode(node, value), colour);
}

function applyNode(node: ClfNode, colour: Triple): Triple {
  const each = (f: (v: number, c: 0 | 1 | 2) => number): Triple => [
    f(colour[0], 0),
    f(colour[1], 1),
    f(colour[2], 2),
  ];
  switch (node.kind) {
    case "Matrix": {
      const out = applyMatrix3(node.matrix, colour);
      return [out[0] + node.offset[0], out[1] + node.offset[1], out[2] + node.offset[2]];
    }
    case "LUT1D":
      return each((v, c) => sampleLut1d(node, v, c));
    case "LUT3D":
      return node.interpolation === "tetrahedral"
        ? sampleLut3d(node.lut, colour)
        : sampleTrilinear(node.lut, colour);
    case "Range":
      return each((v) => {
        const out = v * node.scale + node.offset;
        return Math.min(
          node.high ?? Number.POSITIVE_INFINITY,
          Math.max(node.low ?? Number.NEGATIVE_INFINITY, out),
        );
      });
    case "Log":
      return each((v, c) =>
        node.isToLog ? linearToNamedLog(node.channels[c], v) : namedLogToLinear(node.channels[c], v),
      );
    case "Exponent":
      return each((v, c) => exponent(node.style, node.channels[c], v));
    case "ASC_CDL":
      return node.isReverse
        ? invertCdl(node.cdl, colour, node.clamp)
        : applyCdl(node.cdl, colour, node.clamp);
  }
}

function sampleLut1d(
  { table, size, halfDomain }: Extract<ClfNode, { kind: "LUT1D" }>,
  value: number,
  c: number,
): number {
  if (halfDomain) {
    const { bits, part } = halfPosition(value);
    const from = table[bits * 3 + c]!;
    return part === 0 ? from : from + part * (table[(bits + 1) * 3 + c]! - from);
  }
  const at = Math.min(1, Math.max(0, value)) * (size - 1);
  const cell = Math.min(size - 2, Math.floor(at));
  const from = table[cell * 3 + c]!;
  return from + (at - cell) * (table[cell * 3 + 3 + c]! - from);
}

/** Straight between the eight corners about the colour. */
function sampleTrilinear({ size, table }: Lut3d, colour: Triple): Triple {
  const cell = [0, 0, 0];
  const part = [0, 0, 0];
  for (let c = 0; c < 3; c++) {
    const at = Math.min(1, Math.max(0, colour[c]!)) * (size - 1);
    cell[c] = Math.min(size - 2, Math.floor(at));
    part[c] = at - cell[c]!;
  }
  const out: [number, number, number] = [0, 0, 0];
  for (let corner = 0; corner < 8; corner++) {
    let weight = 1;
    let index = 0;
    for (let c = 0; c < 3; c++) {
      const up = (corner >> c) & 1;
      weight *= up ? part[c]! : 1 - part[c]!;
      index += (cell[c]! + up) * size ** c;
    }
    for (let c = 0; c < 3; c++) out[c] = out[c]! + weight * table[index * 3 + c]!;
  }
  return out;
}

function exponent(style: ExponentStyle, params: ExponentParams, v: number): number {
  switch (style) {
    case "basicFwd":
      return Math.max(v, 0) ** params.exponent;
    case "basicRev":
      return Math.max(v, 0) ** (1 / params.exponent);
    case "basicMirrorFwd":
      return Math.sign(v) * Math.abs(v) ** params.exponent;
    case "basicMirrorRev":
      return Math.sign(v) * Math.abs(v) ** (1 / params.exponent);
    case "basicPassThruFwd":
      return v < 0 ? v : v ** params.exponent;
    case "basicPassThruRev":
      return v < 0 ? v : v ** (1 / params.exponent);
    case "monCurveFwd":
      return monCurve(params, v, true);
    case "monCurveRev":
      return monCurve(params, v, false);
    case "monCurveMirrorFwd":
      return Math.sign(v) * monCurve(params, Math.abs(v), true);
    case "monCurveMirrorRev":
      return Math.sign(v) * monCurve(params, Math.abs(v), false);
  }
}

/** A power with a straight part near black. At exponent 1 or offset 0 its parts are limits, taken just beside them. */
function monCurve(params: ExponentParams, v: number, forward: boolean): number {
  const g = Math.max(params.exponent, 1 + 1e-6);
  const k = Math.max(params.offset, 1e-6);
  const ratio = ((k * g) / ((g - 1) * (1 + k))) ** g;
  const slope = ((g - 1) / k) * ratio;
  if (forward) return v >= k / (g - 1) ? ((v + k) / (1 + k)) ** g : v * slope;
  return v >= ratio ? (1 + k) * v ** (1 / g) - k : v / slope;
}
