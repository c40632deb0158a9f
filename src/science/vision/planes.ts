/** A picture as three planes of code values, 0 black and 1 white, row by row, top first. */
export interface Planes {
  readonly width: number;
  readonly height: number;
  readonly planes: readonly [Float32Array, Float32Array, Float32Array];
}

/**
 * Splits an interleaved RGB picture into planes, shrunk by a whole factor (the mean of each block).
 *
 * @param picture - 8-bit or 16-bit code values; full scale is 255 or 65 535 by the array's type.
 * @param shrink - 1 or more: the block's side in pixels. What does not fill a block at the edge is left out.
 */
export function toPlanes(
  picture: { readonly width: number; readonly height: number; readonly rgb: Uint8Array | Uint16Array },
  shrink = 1,
): Planes {
  const width = Math.max(1, Math.floor(picture.width / shrink));
  const height = Math.max(1, Math.floor(picture.height / shrink));
  const scale = 1 / ((picture.rgb instanceof Uint16Array ? 65_535 : 255) * shrink * shrink);
  const r = new Float32Array(width * height);
  const g = new Float32Array(width * height);
  const b = new Float32Array(width * height);
  const { rgb } = picture;
  for (let y = 0; y < height; y++) {
    for (let dy = 0; dy < shrink; dy++) {
      let from = (y * shrink + dy) * picture.width * 3;
      let to = y * width;
      for (let x = 0; x < width; x++, to++) {
        for (let dx = 0; dx < shrink; dx++, from += 3) {
          r[to] = r[to]! + rgb[from]!;
          g[to] = g[to]! + rgb[from + 1]!;
          b[to] = b[to]! + rgb[from + 2]!;
        }
      }
    }
  }
  for (const plane of [r, g, b]) for (let i = 0; i < plane.length; i++) plane[i] = plane[i]! * scale;
  return { width, height, planes: [r, g, b] };
}

/** Half the size, each pixel the mean of four. */
export function halvePlanes({ width, height, planes }: Planes): Planes {
  const w = width >> 1;
  const h = height >> 1;
  const half = (plane: Float32Array): Float32Array => {
    const out = new Float32Array(w * h);
    for (let y = 0; y < h; y++) {
      let from = 2 * y * width;
      for (let x = 0; x < w; x++, from += 2) {
        out[y * w + x] =
          (plane[from]! + plane[from + 1]! + plane[from + width]! + plane[from + width + 1]!) / 4;
      }
    }
    return out;
  };
  return { width: w, height: h, planes: [half(planes[0]), half(planes[1]), half(planes[2])] };
}

/** One pixel's mean with its eight neighbours: takes the sting out of noise before edges are looked for. */
export function blurPlanes({ width, height, planes }: Planes): Planes {
  const blur = (plane: Float32Array): Float32Array => {
    const across = new Float32Array(plane.length);
    for (let y = 0; y < height; y++) {
      const row = y * width;
      across[row] = plane[row]!;
      across[row + width - 1] = plane[row + width - 1]!;
      for (let i = row + 1; i < row + width - 1; i++)
        across[i] = (plane[i - 1]! + plane[i]! + plane[i + 1]!) / 3;
    }
    const out = across.slice();
    for (let i = width; i < plane.length - width; i++) {
      out[i] = (across[i - width]! + across[i]! + across[i + width]!) / 3;
    }
    return out;
  };
  return { width, height, planes: [blur(planes[0]), blur(planes[1]), blur(planes[2])] };
}
