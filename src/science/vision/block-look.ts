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

/** A part of a picture, pixels. */
export interface Area {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

/**
 * The part of a picture in which something came, left or moved since earlier looks, with a part's width to spare all
 * round: what came lies wholly in it, or reaches over the picture's own edge.
 *
 * @param before - Looks at the same shot.
 * @param size - Of the picture, pixels.
 * @param least - Smallest area to answer, pixels; the picture's own size where that is smaller.
 * @returns null where nothing changed.
 */
export function changedArea(
  before: readonly BlockLook[],
  after: BlockLook,
  size: { readonly width: number; readonly height: number },
  least: { readonly width: number; readonly height: number },
): Area | null {
  let [left, top, right, low] = [blockColumns, blockRows, -1, -1];
  for (let k = 0; k < blockColumns * blockRows; k++) {
    const isChanged = before.some(({ codes }) =>
      [3 * k, 3 * k + 1, 3 * k + 2].some((i) => Math.abs(after.codes[i]! - codes[i]!) > leastChange),
    );
    if (!isChanged) continue;
    const [column, row] = [k % blockColumns, Math.floor(k / blockColumns)];
    left = Math.min(left, column);
    right = Math.max(right, column);
    top = Math.min(top, row);
    low = Math.max(low, row);
  }
  if (right < 0) return null;
  const across = span(left - 1, right + 2, blockColumns, size.width, least.width);
  const down = span(top - 1, low + 2, blockRows, size.height, least.height);
  return { left: across.from, top: down.from, width: across.length, height: down.length };
}

/** From one part to another as pixels, kept in the picture and widened about its middle to a least length. */
function span(
  first: number,
  end: number,
  parts: number,
  whole: number,
  least: number,
): { from: number; length: number } {
  const from = Math.floor((Math.max(0, first) * whole) / parts);
  const to = Math.ceil((Math.min(parts, end) * whole) / parts);
  const length = Math.min(whole, Math.max(to - from, least));
  const wanted = Math.round((from + to - length) / 2);
  return { from: Math.min(Math.max(0, wanted), whole - length), length };
}
