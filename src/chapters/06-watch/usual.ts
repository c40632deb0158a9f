import type { Figures } from "./look-at.ts";
import { cellsAcross, columns, rows } from "./look-at.ts";

/** How this recording usually looks: what every picture of it is judged against. */
export interface Usual {
  readonly grain: number;
  /** log2 of fine over coarse per tile, in the sharper half of the pictures. */
  readonly sharpness: Float64Array;
  readonly coarse: Float64Array;
  /** How much each tile counts for focus: the sharp ones, where the sitter is, the middle more. 0 for plain ones. */
  readonly weight: Float64Array;
  readonly light: Float64Array;
  readonly cells: Float64Array;
  readonly redOverGreen: Float64Array;
  readonly blueOverGreen: Float64Array;
  readonly burnt: number;
}

const tiles = columns * rows;

export function quantileOf(values: ArrayLike<number>, share: number): number {
  const sorted = Float64Array.from(values).sort();
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? 0;
}

/** log2 of the ratio of edge energies, grain taken off; a tile without edges has none. */
export function tileSharpness(look: Figures, tile: number, grain: number): number {
  const fine = Math.max(look.fine[tile]! - grain, 0.1 * look.fine[tile]!);
  const coarse = Math.max(look.coarse[tile]! - grain / 36, 0.1 * look.coarse[tile]!);
  return Math.log2((fine + 1e-7) / (coarse + 1e-7));
}

/**
 * Fine energy that grain alone makes: that of the plainest tenth of the tiles, as a rule of the recording and not
 * of one picture, so that what is in the picture does not change the measure. Where everything is textured that
 * is no grain: a quarter of a strong tile is the most.
 */
function grainOf(looks: readonly Figures[]): number {
  const plain = looks.map((look) => quantileOf(look.fine, 0.1));
  const strong = looks.map((look) => quantileOf(look.fine, 0.8));
  return Math.min(quantileOf(plain, 0.5), 0.25 * quantileOf(strong, 0.5));
}

const light = (look: Figures, tile: number): number =>
  0.2126 * look.red[tile]! + 0.7152 * look.green[tile]! + 0.0722 * look.blue[tile]!;

/** Ratio of two colours of a tile, natural logarithm; 0 in the dark, where it says nothing. */
export function tileRatio(look: Figures, tile: number, colour: "red" | "blue"): number {
  return Math.log((look[colour][tile]! + 0.02) / (look.green[tile]! + 0.02));
}

/** The usual look of a recording, or of the pictures around one of its moments; black pictures do not count. */
export function usualOf(looks: readonly Figures[]): Usual {
  const lit = looks.filter((look) => look.brightest > 0.08);
  const over = (pick: (look: Figures, tile: number) => number, share: number): Float64Array =>
    Float64Array.from({ length: tiles }, (_, tile) =>
      quantileOf(
        lit.map((look) => pick(look, tile)),
        share,
      ),
    );
  const grain = grainOf(lit);
  const coarse = over((look, tile) => look.coarse[tile]!, 0.5);
  const sharpness = over((look, tile) => tileSharpness(look, tile, grain), 0.6);
  const strong = quantileOf(coarse, 0.75);
  const edged = sharpness.filter((_, tile) => coarse[tile]! > 0.1 * strong);
  const sharpest = quantileOf(edged, 0.9);
  const weight = Float64Array.from({ length: tiles }, (_, tile) => {
    // Tiles whose edges are usually soft lie outside the plane of focus: they cannot tell.
    if (coarse[tile]! < 0.1 * strong || sharpness[tile]! < sharpest - 1.2) return 0;
    const x = ((tile % columns) + 0.5) / columns;
    return Math.sqrt(Math.min(1, coarse[tile]! / strong)) * (x > 0.2 && x < 0.8 ? 2 : 1);
  });
  return {
    grain,
    sharpness,
    coarse,
    weight,
    light: over(light, 0.5),
    cells: Float64Array.from({ length: 4 * tiles }, (_, cell) =>
      quantileOf(
        lit.map((look) => look.cells[cell]!),
        0.5,
      ),
    ),
    redOverGreen: over((look, tile) => tileRatio(look, tile, "red"), 0.5),
    blueOverGreen: over((look, tile) => tileRatio(look, tile, "blue"), 0.5),
    burnt: quantileOf(
      lit.map((look) => look.burnt),
      0.5,
    ),
  };
}

/**
 * Mean change of a tile's quarters beyond that of the whole picture. Losing focus leaves them as they were; where
 * they changed the tile shows something else (a chart, a hand), whose edges cannot be held against the usual ones.
 */
function change(look: Figures, usual: Usual, tile: number, moved: number): number {
  const first = 2 * Math.floor(tile / columns) * cellsAcross + 2 * (tile % columns);
  let sum = 0;
  for (const cell of [first, first + 1, first + cellsAcross, first + cellsAcross + 1]) {
    sum += Math.abs(look.cells[cell]! - usual.cells[cell]! - moved);
  }
  return sum / 4;
}

/** Code values by which a tile may wander and still show the same thing. */
const sameThingLight = 0.06;
/** With less than this share of the telling tiles left, focus is not judged. */
const leastShare = 0.4;

/** One picture against the usual; all 0 for a picture that looks as ever. */
export interface Judged {
  /** log2 of edge sharpness over the usual, in the tiles that tell focus; 0 where too few of them show the same. */
  readonly sharpness: number;
  /** Lightness over the usual, code values; 0 unless most tiles moved the same way. */
  readonly light: number;
  /** Logarithm of red and blue over green against the usual; 0 unless most tiles moved the same way. */
  readonly red: number;
  readonly blue: number;
  readonly burnt: number;
}

export function judge(look: Figures, usual: Usual): Judged {
  const lights = Array.from({ length: tiles }, (_, tile) => light(look, tile) - usual.light[tile]!);
  const moved = quantileOf(lights, 0.5);
  // Grain and faint texture grow and shrink with the light.
  const grain =
    usual.grain * Math.max(0.25, Math.min(4, (1 + moved / (quantileOf(usual.light, 0.5) + 0.01)) ** 2));
  const sharp: { value: number; weight: number }[] = [];
  const reds: number[] = [];
  const blues: number[] = [];
  let weights = 0;
  for (let tile = 0; tile < tiles; tile++) {
    const whole = usual.weight[tile]!;
    weights += whole;
    const same = change(look, usual, tile, moved) < sameThingLight;
    const weight = whole * Math.min(1, look.coarse[tile]! / Math.max(1e-7, 0.2 * usual.coarse[tile]!));
    if (same && weight > 0)
      sharp.push({ value: tileSharpness(look, tile, grain) - usual.sharpness[tile]!, weight });
    // Colour of a dark tile is noise.
    if (usual.light[tile]! > 0.06) {
      reds.push(tileRatio(look, tile, "red") - usual.redOverGreen[tile]!);
      blues.push(tileRatio(look, tile, "blue") - usual.blueOverGreen[tile]!);
    }
  }
  const left = sharp.reduce((sum, { weight }) => sum + weight, 0);
  return {
    sharpness: left < leastShare * weights ? 0 : weightedMedian(sharp),
    light: together(lights),
    red: together(reds),
    blue: together(blues),
    burnt: look.burnt - usual.burnt,
  };
}

/** The median where at least four in five moved the same way as it, else 0: a sitter who leans is no drift. */
function together(values: readonly number[]): number {
  if (values.length === 0) return 0;
  const median = quantileOf(values, 0.5);
  const same = values.filter((v) => Math.sign(v) === Math.sign(median)).length;
  return same >= 0.8 * values.length ? median : 0;
}

function weightedMedian(items: { value: number; weight: number }[]): number {
  items.sort((a, b) => a.value - b.value);
  const half = items.reduce((sum, i) => sum + i.weight, 0) / 2;
  let sum = 0;
  for (const { value, weight } of items) if ((sum += weight) >= half) return value;
  return 0;
}
