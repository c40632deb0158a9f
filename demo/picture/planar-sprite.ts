import type { Encoder } from "./code-planes.ts";
import type { Rectangle } from "./miller-sprite.ts";

/**
 * A cut-out in a camera's codes: luma at full size, chroma at half, each multiplied by its cover. `area` is even
 * on all sides.
 */
export interface PlanarSprite {
  readonly area: Rectangle;
  readonly y: Float32Array;
  readonly cover: Float32Array;
  readonly u: Float32Array;
  readonly v: Float32Array;
  readonly coverHalf: Float32Array;
}

/** A lens's fall-off towards the corners: factor for a place in the picture. */
export function falloff(x: number, y: number, width: number, height: number): number {
  const dx = (x - width / 2) / (width / 2);
  const dy = (y - height / 2) / (width / 2);
  return 1 - 0.27 * (dx * dx + dy * dy);
}

/** Encodes a rendered cut-out; `rgb` is light (or a camera's own signal), not multiplied by cover. */
export function planarSprite(
  source: { readonly area: Rectangle; readonly rgb: Float32Array; readonly cover: Float32Array },
  encode: Encoder,
  frame: { readonly width: number; readonly height: number },
): PlanarSprite {
  const { area, rgb, cover } = source;
  const width = area.right - area.left;
  const height = area.bottom - area.top;
  const y = new Float32Array(width * height);
  const u = new Float32Array((width * height) / 4);
  const v = new Float32Array((width * height) / 4);
  const coverHalf = new Float32Array((width * height) / 4);
  const code = new Float64Array(3);
  for (let j = 0; j < height; j++)
    for (let i = 0; i < width; i++) {
      const k = j * width + i;
      const c = cover[k]!;
      if (c <= 0) continue;
      const f = falloff(area.left + i, area.top + j, frame.width, frame.height);
      encode(rgb[3 * k]! * f, rgb[3 * k + 1]! * f, rgb[3 * k + 2]! * f, code, 0);
      y[k] = c * code[0]!;
      const h = (j >> 1) * (width >> 1) + (i >> 1);
      u[h]! += 0.25 * c * code[1]!;
      v[h]! += 0.25 * c * code[2]!;
      coverHalf[h]! += 0.25 * c;
    }
  return { area, y, cover: cover.slice(), u, v, coverHalf };
}
