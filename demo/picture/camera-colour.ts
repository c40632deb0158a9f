import {
  cameraSensitivities,
  illuminantD65,
  observer,
  patchReflectances,
  wavelengthsNm,
} from "./measured-spectra.ts";
import { lightToCameraALog, lightToCameraB } from "./tone-curves.ts";

/** Three rows of three. */
export type Matrix3 = readonly [number, number, number, number, number, number, number, number, number];
export type Rgb = readonly [r: number, g: number, b: number];

// ITU-R BT.709-6 primaries, D65: XYZ to linear RGB
const xyzToBt709: Matrix3 = [
  3.2409699419, -1.5373831776, -0.4986107603, -0.9692436363, 1.8759675015, 0.0415550574, 0.0556300797,
  -0.2039769589, 1.0569715142,
];

export function times(m: Matrix3, v: Rgb): [number, number, number] {
  return [
    m[0] * v[0] + m[1] * v[1] + m[2] * v[2],
    m[3] * v[0] + m[4] * v[1] + m[5] * v[2],
    m[6] * v[0] + m[7] * v[1] + m[8] * v[2],
  ];
}

function product(a: Matrix3, b: Matrix3): Matrix3 {
  const out: number[] = [];
  for (let r = 0; r < 3; r++)
    for (let c = 0; c < 3; c++)
      out.push(a[3 * r]! * b[c]! + a[3 * r + 1]! * b[3 + c]! + a[3 * r + 2]! * b[6 + c]!);
  return out as unknown as Matrix3;
}

function inverted(m: Matrix3): Matrix3 {
  const [a, b, c, d, e, f, g, h, i] = m;
  const det = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
  return [
    (e * i - f * h) / det,
    (c * h - b * i) / det,
    (b * f - c * e) / det,
    (f * g - d * i) / det,
    (a * i - c * g) / det,
    (c * d - a * f) / det,
    (d * h - e * g) / det,
    (b * g - a * h) / det,
    (a * e - b * d) / det,
  ];
}

/** The 3 x 3 that takes each `from` nearest to its `to`, by least squares. */
export function leastSquares(from: readonly Rgb[], to: readonly Rgb[]): Matrix3 {
  const ff = [0, 0, 0, 0, 0, 0, 0, 0, 0];
  const tf = [0, 0, 0, 0, 0, 0, 0, 0, 0];
  from.forEach((f, k) => {
    for (let r = 0; r < 3; r++)
      for (let c = 0; c < 3; c++) {
        ff[3 * r + c]! += f[r]! * f[c]!;
        tf[3 * r + c]! += to[k]![r]! * f[c]!;
      }
  });
  return product(tf as unknown as Matrix3, inverted(ff as unknown as Matrix3));
}

/** What three spectral weights make of a reflectance under D65, white being 1, 1, 1. */
function seen(reflectance: Float64Array, weights: readonly [Float64Array, Float64Array, Float64Array]): Rgb {
  const one = (w: Float64Array): number => {
    let sum = 0;
    let white = 0;
    for (let i = 0; i < wavelengthsNm.length; i++) {
      sum += reflectance[i]! * illuminantD65[i]! * w[i]!;
      white += illuminantD65[i]! * w[i]!;
    }
    return sum / white;
  };
  return [one(weights[0]), one(weights[1]), one(weights[2])];
}

// D65 in XYZ, so that white is white in BT.709 too (CIE 15:2018)
const d65: Rgb = [0.950456, 1, 1.089058];

/** The patches' true colours under D65, linear BT.709, unclipped. */
export const truePatches: readonly Rgb[] = patchReflectances.map((r) => {
  const s = seen(r, observer);
  return times(xyzToBt709, [s[0] * d65[0], s[1] * d65[1], s[2] * d65[2]]);
});

/** How a camera turns the loft's light into code values. */
export interface CameraColour {
  readonly name: "A" | "B";
  /** From the loft's linear light to the camera's own linear signal. */
  readonly fromScene: Matrix3;
  /** The 24 patches in the camera's own linear signal, for light 1 and exposure 1: from their spectra, not by the 3 x 3. */
  readonly patches: readonly Rgb[];
  readonly exposure: number;
  readonly curve: (light: number) => number;
  /** Largest light that the curve tells apart. */
  readonly mostLight: number;
}

function saturation(s: number): Matrix3 {
  const [r, g, b] = [0.2126390059, 0.7151686788, 0.0721923154];
  return [
    r + s * (1 - r),
    g * (1 - s),
    b * (1 - s),
    r * (1 - s),
    g + s * (1 - g),
    b * (1 - s),
    r * (1 - s),
    g * (1 - s),
    b + s * (1 - b),
  ];
}

type Sensitivities = readonly [Float64Array, Float64Array, Float64Array];

/** A sensor between the two measured ones, each scaled to its own white first. */
function between(share: number): Sensitivities {
  const [one, two] = cameraSensitivities;
  const white = (w: Float64Array): number => w.reduce((sum, v, i) => sum + v * illuminantD65[i]!, 0);
  const mix = (a: Float64Array, b: Float64Array): Float64Array => {
    const wa = white(a);
    const wb = white(b);
    return a.map((v, i) => ((1 - share) * v) / wa + (share * b[i]!) / wb);
  };
  return [mix(one[0], two[0]), mix(one[1], two[1]), mix(one[2], two[2])];
}

function camera(
  name: "A" | "B",
  sensitivities: Sensitivities,
  own: { balance: Rgb; look: Matrix3; exposure: number; curve: (light: number) => number; mostLight: number },
): CameraColour {
  const raw = patchReflectances.map((r) => seen(r, sensitivities));
  // the maker's own 3 x 3, solved on the chart; then the operator's balance on the raw signal
  const calibrated = leastSquares(raw, truePatches);
  const whole = product(own.look, calibrated);
  const patches = raw.map((p) =>
    times(whole, [p[0] * own.balance[0], p[1] * own.balance[1], p[2] * own.balance[2]]),
  );
  return {
    name,
    fromScene: leastSquares(truePatches, patches),
    patches,
    exposure: own.exposure,
    curve: own.curve,
    mostLight: own.mostLight,
  };
}

const exposureA = 3.3;

export const cameraA = camera("A", between(0), {
  balance: [1, 1, 1],
  look: saturation(0.92),
  exposure: exposureA,
  curve: lightToCameraALog,
  mostLight: 16,
});

/** Camera B: set about 600 K too cool for this light, 0.4 stop darker, its reds and greens a little stronger. */
export const cameraB = camera("B", between(0.7), {
  balance: [0.957, 1, 1.04],
  look: product([1.02, -0.03, 0.01, -0.01, 1.02, -0.01, 0, -0.02, 1.02], saturation(1.03)),
  exposure: exposureA * 2 ** -0.4,
  curve: lightToCameraB,
  mostLight: 4,
});
