/** A grey picture: one value a pixel, row by row, 0 black to 1 white of the code values. */
export interface Grey {
  readonly width: number;
  readonly height: number;
  readonly values: Float32Array;
}

/** Luma of an 8-bit RGB picture by the weights of ITU-R BT.709 (0.2126, 0.7152, 0.0722). */
export function greyOf(picture: {
  readonly width: number;
  readonly height: number;
  readonly rgb: Uint8Array;
}): Grey {
  const { width, height, rgb } = picture;
  const values = new Float32Array(width * height);
  for (let i = 0, p = 0; i < values.length; i++, p += 3) {
    values[i] = (0.2126 * rgb[p]! + 0.7152 * rgb[p + 1]! + 0.0722 * rgb[p + 2]!) / 255;
  }
  return { width, height, values };
}

/** The same picture at 1/`by` of its size: means of whole squares; a rest at the right and bottom is left out. */
export function shrunk(grey: Grey, by: number): Grey {
  const width = Math.floor(grey.width / by);
  const height = Math.floor(grey.height / by);
  const values = new Float32Array(width * height);
  for (let y = 0; y < height * by; y++) {
    const row = Math.floor(y / by) * width;
    for (let x = 0; x < width * by; x++)
      values[row + Math.floor(x / by)]! += grey.values[y * grey.width + x]!;
  }
  const area = by * by;
  for (let i = 0; i < values.length; i++) values[i]! /= area;
  return { width, height, values };
}
