import type { CameraColour } from "./camera-colour.ts";
import { tabulated } from "./tone-curves.ts";

/** Codes of black and white for luma, and of the middle and reach of chroma (ITU-R BT.709-6, item 4.6; H.273, limited range). */
export interface CodeRange {
  readonly bits: 8 | 10;
  readonly black: number;
  readonly lumaReach: number;
  readonly middle: number;
  readonly chromaReach: number;
}

export function codeRange(bits: 8 | 10): CodeRange {
  const k = 2 ** (bits - 8);
  return { bits, black: 16 * k, lumaReach: 219 * k, middle: 128 * k, chromaReach: 224 * k };
}

// ITU-R BT.709-6, item 3.2
const kr = 0.2126;
const kb = 0.0722;

/** Turns the loft's light into a camera's luma and chroma codes (not yet rounded). */
export type Encoder = (
  r: number,
  g: number,
  b: number,
  into: Float64Array | Float32Array,
  at: number,
) => void;

function lumaAndChroma(
  r: number,
  g: number,
  b: number,
  range: CodeRange,
  into: Float64Array | Float32Array,
  at: number,
): void {
  const y = kr * r + (1 - kr - kb) * g + kb * b;
  into[at] = range.black + range.lumaReach * y;
  into[at + 1] = range.middle + (range.chromaReach * (b - y)) / (2 * (1 - kb));
  into[at + 2] = range.middle + (range.chromaReach * (r - y)) / (2 * (1 - kr));
}

/** From linear scene light (before exposure) to the camera's codes Y, Cb, Cr. */
export function sceneEncoder(camera: CameraColour, range: CodeRange): Encoder {
  const curve = tabulated(camera.curve, camera.mostLight);
  const [m0, m1, m2, m3, m4, m5, m6, m7, m8] = camera.fromScene;
  const e = camera.exposure;
  return (r, g, b, into, at) =>
    lumaAndChroma(
      curve(e * (m0 * r + m1 * g + m2 * b)),
      curve(e * (m3 * r + m4 * g + m5 * b)),
      curve(e * (m6 * r + m7 * g + m8 * b)),
      range,
      into,
      at,
    );
}

/** From the camera's own linear signal (before exposure) to its codes. */
export function signalEncoder(camera: CameraColour, range: CodeRange): Encoder {
  const e = camera.exposure;
  return (r, g, b, into, at) =>
    lumaAndChroma(camera.curve(e * r), camera.curve(e * g), camera.curve(e * b), range, into, at);
}
