import { chart24Columns, chart24Rows } from "#science/colour/chart24";
import { solveLinear } from "#science/colour/linear-solve";
import { chart24Srgb, neutralsFall } from "./chart-colours.ts";

/** So much of the chart lies on each side of a shadow's edge at least. */
const leastSide = 6;
/** A shadow takes so much, code value, at least: less is a slope of light that needs no second look. */
const leastDrop = 0.025;
const unknowns = 6;

/** Which patches lie in the shade, for every straight edge across the chart that tells any apart. */
const edges: readonly Uint8Array[] = (() => {
  const found = new Map<string, Uint8Array>();
  for (let turn = 0; turn < 16; turn++) {
    const [dx, dy] = [Math.cos((Math.PI * turn) / 8), Math.sin((Math.PI * turn) / 8)];
    for (let off = -1.75; off <= 1.75; off += 0.25) {
      const side = Uint8Array.from({ length: 24 }, (_, i) => {
        const x = (i % chart24Columns) - (chart24Columns - 1) / 2;
        const y = Math.floor(i / chart24Columns) - (chart24Rows - 1) / 2;
        return x * dx + y * dy > off ? 1 : 0;
      });
      const count = side.reduce((sum, v) => sum + v, 0);
      if (count >= leastSide && count <= 24 - leastSide) found.set(side.join(""), side);
    }
  }
  return [...found.values()];
})();

/**
 * How well colours agree with the chart's when a shadow's straight edge lies across it: as `chartLikeness`, the
 * colours behind the edge having a darkness of their own. 0 where no edge explains them, or the greys then do not
 * fall.
 *
 * @param colours - Code values R, G, B of each patch in order, interleaved: 72 numbers.
 */
export function shadedLikeness(colours: Float64Array): number {
  let best = 0;
  const evened = new Float64Array(72);
  for (const side of edges) {
    let [total, left] = [0, 0];
    let isShade = true;
    for (let c = 0; c < 3 && isShade; c++) {
      const fit = fitChannel(colours, c, side);
      if (!fit) {
        isShade = false;
        break;
      }
      total += fit.total;
      left += fit.left;
      let drop = 0;
      for (let i = 0; i < 24; i++) {
        const moved = side[i] === 1 ? fit.at[4]! + fit.at[5]! * chart24Srgb[i]![c]! : 0;
        evened[i * 3 + c] = colours[i * 3 + c]! - moved;
        drop += moved;
      }
      // Darker behind the edge, in each channel.
      isShade = drop < -leastDrop * side.reduce((sum, v) => sum + v, 0);
    }
    if (!isShade || total < 1e-4) continue;
    const likeness = 1 - ((left / total) * 23) / (24 - unknowns);
    if (likeness > best && neutralsFall(evened)) best = likeness;
  }
  return best;
}

/** Least squares of [1, R, G, B, shade, shade of the channel's own] for one channel. */
function fitChannel(
  colours: Float64Array,
  c: number,
  side: Uint8Array,
): { readonly at: readonly number[]; readonly left: number; readonly total: number } | null {
  const normal = Array.from({ length: unknowns }, () => new Array<number>(unknowns).fill(0));
  const right = new Array<number>(unknowns).fill(0);
  let [sum, squares] = [0, 0];
  const row = new Float64Array(unknowns);
  for (let i = 0; i < 24; i++) {
    const published = chart24Srgb[i]!;
    row[0] = 1;
    row[1] = published[0];
    row[2] = published[1];
    row[3] = published[2];
    row[4] = side[i]!;
    row[5] = side[i]! * published[c]!;
    const seen = colours[i * 3 + c]!;
    sum += seen;
    squares += seen * seen;
    for (let p = 0; p < unknowns; p++) {
      right[p] = right[p]! + row[p]! * seen;
      for (let q = 0; q < unknowns; q++) normal[p]![q] = normal[p]![q]! + row[p]! * row[q]!;
    }
  }
  const at = solveLinear(normal, right);
  if (!at) return null;
  const explained = at.reduce((total, v, p) => total + v * right[p]!, 0);
  return { at: [...at], left: Math.max(0, squares - explained), total: squares - (sum * sum) / 24 };
}
