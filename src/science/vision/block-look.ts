/** Mean code values of a picture's parts, row by row. */
export interface BlockLook {
  readonly at: number;
  /** R, G, B of each of the 16 × 9 parts, interleaved, 0 to 1, to a thousandth. */
  readonly codes: readonly number[];
}

const blockColumns = 16;
const blockRows = 9;

/** A look at a picture, part by part. */
export function blockLook({
  atSeconds,
  width,
  height,
  rgb,
}: {
  readonly atSeconds: number;
  readonly width: number;
  readonly height: number;
  readonly rgb: Uint8Array;
}): BlockLook {
  const codes: number[] = [];
  const step = Math.max(1, Math.floor(width / 320));
  for (let row = 0; row < blockRows; row++) {
    for (let column = 0; column < blockColumns; column++) {
      const sum = [0, 0, 0];
      let n = 0;
      const [top, low] = [
        Math.floor((row * height) / blockRows),
        Math.floor(((row + 1) * height) / blockRows),
      ];
      const [left, right] = [
        Math.floor((column * width) / blockColumns),
        Math.floor(((column + 1) * width) / blockColumns),
      ];
      for (let y = top; y < low; y += step) {
        for (let x = left; x < right; x += step) {
          const i = (y * width + x) * 3;
          for (let c = 0; c < 3; c++) sum[c] = sum[c]! + rgb[i + c]!;
          n++;
        }
      }
      for (const v of sum) codes.push(Math.round((1000 * v) / (255 * Math.max(n, 1))) / 1000);
    }
  }
  return { at: atSeconds, codes };
}

/** A part whose mean moves by more than this, code value, shows something else: the smallest chart covers half of one. */
const leastChange = 0.012;

/** Whether something came, left or moved between two looks at a shot. */
export function hasChanged(before: BlockLook, after: BlockLook): boolean {
  return after.codes.some((v, i) => Math.abs(v - before.codes[i]!) > leastChange);
}
