import { applyMatrix3, type Matrix3, type Triple } from "#science/colour/matrix3";
import { linearToAcescct, linearToBt709 } from "#science/colour/transfer-functions";
import { bell } from "./chance.ts";
import { compressLikeJpeg } from "./trial-compression.ts";

/** An 8-bit picture. */
export interface TrialPicture {
  readonly width: number;
  readonly height: number;
  readonly rgb: Uint8Array;
}

/** How a trial's camera sees. */
export interface TrialCamera {
  /** Passes of a small blur. */
  readonly blur: number;
  /** Deviation of a pixel, code value 0 to 1. */
  readonly noise: number;
  readonly curve: "log" | "709";
  /** Light to the camera's own linear RGB. */
  readonly mix: Matrix3;
  readonly gains: Triple;
  /** Step of the coarsest quantiser, code value 0 to 1; 0 leaves the picture as it is. */
  readonly coarseness: number;
}

/** A camera unlike the next: its own crosstalk, white and exposure. */
export function randomCamera(next: () => number, hard: boolean): TrialCamera {
  const crosstalk = (hard ? 0.25 : 0.12) * next();
  const row = (k: number): Triple => {
    const p = next();
    return [0, 1, 2].map((c) =>
      c === k ? 1 - crosstalk : crosstalk * (c === (k + 1) % 3 ? p : 1 - p),
    ) as unknown as Triple;
  };
  const exposure = 2 ** (hard ? 0.2 - 1.7 * next() : -next());
  return {
    blur: 0,
    noise: (hard ? 0.015 : 0.006) * next(),
    curve: next() < 0.5 ? "log" : "709",
    mix: [row(0), row(1), row(2)],
    gains: [
      exposure * (0.7 + 0.3 * next()),
      exposure * (0.8 + 0.2 * next()),
      exposure * (0.6 + 0.4 * next()),
    ],
    coarseness: next() < 0.5 ? 0 : (hard ? 0.05 : 0.02) * next(),
  };
}

/** Linear light as this camera records it. */
export function recordTrial(
  light: Float32Array,
  size: { readonly width: number; readonly height: number },
  camera: TrialCamera,
  next: () => number,
): TrialPicture {
  const { width, height } = size;
  let image = light;
  for (let pass = 0; pass < camera.blur; pass++) image = softened(image, width, height);
  const curve = camera.curve === "log" ? linearToAcescct : linearToBt709;
  const codes = new Float32Array(image.length);
  for (let i = 0; i < codes.length; i += 3) {
    const seen = applyMatrix3(camera.mix, [image[i]!, image[i + 1]!, image[i + 2]!]);
    for (let c = 0; c < 3; c++) codes[i + c] = curve(seen[c]! * camera.gains[c]!) + camera.noise * bell(next);
  }
  if (camera.coarseness > 0) compressLikeJpeg(codes, size, camera.coarseness);
  const rgb = new Uint8Array(codes.length);
  for (let i = 0; i < rgb.length; i++) rgb[i] = Math.min(255, Math.max(0, Math.round(255 * codes[i]!)));
  return { width, height, rgb };
}

function softened(image: Float32Array, width: number, height: number): Float32Array {
  const soft = image.slice();
  const down = width * 3;
  for (let y = 1; y < height - 1; y++)
    for (let i = y * down + 3; i < (y + 1) * down - 3; i++)
      soft[i] = (image[i]! * 4 + image[i - 3]! + image[i + 3]! + image[i - down]! + image[i + down]!) / 8;
  return soft;
}
