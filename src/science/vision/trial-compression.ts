/** cos((2x + 1) u π / 16) with the transform's own scaling: [ITU-T T.81] A.3.3. */
const basis = Float64Array.from({ length: 64 }, (_, k) => {
  const [u, x] = [k >> 3, k & 7];
  return (u === 0 ? Math.SQRT1_2 : 1) * 0.5 * Math.cos(((2 * x + 1) * u * Math.PI) / 16);
});

/**
 * Does to a picture what a still or video codec does: colour at half the size, blocks of eight by eight, fine detail
 * in coarser steps than broad shapes.
 *
 * @param codes - R, G, B interleaved, 0 to 1; changed in place.
 * @param coarseness - Step of the finest detail, code value 0 to 1; broad shapes have a tenth of it.
 */
export function compressLikeJpeg(
  codes: Float32Array,
  { width, height }: { readonly width: number; readonly height: number },
  coarseness: number,
): void {
  const n = width * height;
  const luma = new Float32Array(n);
  const blue = new Float32Array(n);
  const red = new Float32Array(n);
  for (let i = 0; i < n; i++) {
    const [r, g, b] = [codes[i * 3]!, codes[i * 3 + 1]!, codes[i * 3 + 2]!];
    luma[i] = 0.2126 * r + 0.7152 * g + 0.0722 * b;
    blue[i] = (b - luma[i]!) / 1.8556;
    red[i] = (r - luma[i]!) / 1.5748;
  }
  quantise(luma, width, height, coarseness);
  const half = { width: (width + 1) >> 1, height: (height + 1) >> 1 };
  const [smallBlue, smallRed] = [halved(blue, width, height), halved(red, width, height)];
  for (const plane of [smallBlue, smallRed]) quantise(plane, half.width, half.height, 1.5 * coarseness);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const i = y * width + x;
      const j = (y >> 1) * half.width + (x >> 1);
      const [l, cb, cr] = [luma[i]!, smallBlue[j]!, smallRed[j]!];
      const [r, b] = [l + 1.5748 * cr, l + 1.8556 * cb];
      codes[i * 3] = r;
      codes[i * 3 + 2] = b;
      codes[i * 3 + 1] = (l - 0.2126 * r - 0.0722 * b) / 0.7152;
    }
  }
}

function halved(plane: Float32Array, width: number, height: number): Float32Array {
  const [w, h] = [(width + 1) >> 1, (height + 1) >> 1];
  const out = new Float32Array(w * h);
  for (let y = 0; y < h; y++) {
    const low = Math.min(2 * y + 1, height - 1) * width;
    for (let x = 0; x < w; x++) {
      const right = Math.min(2 * x + 1, width - 1);
      const top = 2 * y * width;
      out[y * w + x] =
        (plane[top + 2 * x]! + plane[top + right]! + plane[low + 2 * x]! + plane[low + right]!) / 4;
    }
  }
  return out;
}

/** Every whole block of eight by eight through the cosine transform, rounded, and back. */
function quantise(plane: Float32Array, width: number, height: number, coarseness: number): void {
  const block = new Float64Array(64);
  const half = new Float64Array(64);
  for (let y0 = 0; y0 + 8 <= height; y0 += 8) {
    for (let x0 = 0; x0 + 8 <= width; x0 += 8) {
      for (let k = 0; k < 64; k++) block[k] = plane[(y0 + (k >> 3)) * width + x0 + (k & 7)]!;
      turn(block, half, true);
      for (let k = 0; k < 64; k++) {
        const step = coarseness * (0.1 + (0.9 * ((k >> 3) + (k & 7))) / 14) * 4;
        block[k] = Math.round(block[k]! / step) * step;
      }
      turn(block, half, false);
      for (let k = 0; k < 64; k++) plane[(y0 + (k >> 3)) * width + x0 + (k & 7)] = block[k]!;
    }
  }
}

/** Rows, then columns; the transform is its own transpose's inverse. */
function turn(block: Float64Array, half: Float64Array, forward: boolean): void {
  for (const [from, to] of [
    [block, half],
    [half, block],
  ] as const) {
    for (let row = 0; row < 8; row++) {
      for (let u = 0; u < 8; u++) {
        let sum = 0;
        for (let x = 0; x < 8; x++)
          sum += from[row * 8 + x]! * (forward ? basis[u * 8 + x]! : basis[x * 8 + u]!);
        to[u * 8 + row] = sum;
      }
    }
  }
}
