import type { Plate } from "./loft-plate.ts";

/**
 * Diameter of the blur of a point, as a share of the picture's width.
 *
 * Source: thin lens, c = f² |d − s| / (N d (s − f)); S. F. Ray, Applied Photographic Optics, depth of field.
 *
 * @param focusMetres - Distance s in focus. @param atMetres - Distance d of the point.
 */
export function blurShareOfWidth(
  focalLengthMm: number,
  fNumber: number,
  focusMetres: number,
  atMetres: number,
): number {
  const f = focalLengthMm;
  const s = focusMetres * 1000;
  const d = atMetres * 1000;
  return (f * f * Math.abs(d - s)) / (fNumber * d * (s - f)) / 36;
}

/** The plate as a lens at full aperture sees it: each point a disc, as large as its distance makes it. */
export function throughLens(
  plate: Plate,
  lens: {
    focalLengthMm: number;
    fNumber: number;
    focusMetres: number;
    frameWidth: number;
    leastRadius: number;
  },
): Plate {
  const { width, height, rgb, depth } = plate;
  const out = new Float32Array(rgb.length);
  const radii = new Float32Array(width * height);
  for (let k = 0; k < radii.length; k++)
    radii[k] = Math.max(
      lens.leastRadius,
      0.5 * lens.frameWidth * blurShareOfWidth(lens.focalLengthMm, lens.fNumber, lens.focusMetres, depth[k]!),
    );
  const taps = 56;
  const tx = new Float32Array(taps);
  const ty = new Float32Array(taps);
  for (let i = 0; i < taps; i++) {
    const r = Math.sqrt((i + 0.5) / taps);
    const a = i * 2.399963229728653;
    tx[i] = r * Math.cos(a);
    ty[i] = r * Math.sin(a);
  }
  for (let j = 0; j < height; j++)
    for (let i = 0; i < width; i++) {
      const k = j * width + i;
      const radius = radii[k]!;
      let r = 0;
      let g = 0;
      let b = 0;
      let sum = 0;
      for (let n = 0; n < taps; n++) {
        const x = Math.round(i + tx[n]! * radius);
        const y = Math.round(j + ty[n]! * radius);
        if (x < 0 || y < 0 || x >= width || y >= height) continue;
        const q = y * width + x;
        // a point spreads here only as far as its own disc reaches
        const far = Math.sqrt(tx[n]! * tx[n]! + ty[n]! * ty[n]!) * radius;
        const w = Math.min(1, Math.max(0.02, radii[q]! - far + 0.7));
        r += w * rgb[3 * q]!;
        g += w * rgb[3 * q + 1]!;
        b += w * rgb[3 * q + 2]!;
        sum += w;
      }
      out[3 * k] = r / sum;
      out[3 * k + 1] = g / sum;
      out[3 * k + 2] = b / sum;
    }
  return { width, height, rgb: out, depth };
}

/** Three box blurs, near a Gaussian, along both axes; `stride` values a pixel. Changes `values`. */
export function softened(
  values: Float32Array,
  width: number,
  height: number,
  stride: number,
  radius: number,
): void {
  const line = new Float32Array(Math.max(width, height));
  const run = (start: number, step: number, count: number): void => {
    const r = Math.min(radius, (count - 1) >> 1);
    const scale = 1 / (2 * r + 1);
    for (let i = 0; i < count; i++) line[i] = values[start + i * step]!;
    let sum = 0;
    for (let i = -r; i <= r; i++) sum += line[Math.max(i, 0)]!;
    for (let i = 0; i < count; i++) {
      values[start + i * step] = sum * scale;
      const out = i - r;
      const into = i + r + 1;
      sum += line[into >= count ? count - 1 : into]! - line[Math.max(out, 0)]!;
    }
  };
  for (let pass = 0; pass < 3; pass++)
    for (let c = 0; c < stride; c++) {
      for (let y = 0; y < height; y++) run(y * width * stride + c, stride, width);
      for (let x = 0; x < width; x++) run(x * stride + c, width * stride, height);
    }
}

/** Adds the veil that bright windows throw over a picture: `share` of what lies over `above`, spread wide. */
export function withGlow(plate: Plate, above: number, share: number): void {
  const { width, height, rgb } = plate;
  const bright = Float32Array.from(rgb, (v) => Math.max(0, v - above));
  const near = bright.slice();
  softened(bright, width, height, 3, Math.round(width / 14));
  softened(near, width, height, 3, Math.round(width / 60));
  for (let k = 0; k < rgb.length; k++) rgb[k]! += share * bright[k]! + 0.6 * share * near[k]!;
}
