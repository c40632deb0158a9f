import { parabolaTop } from "#science/signal/peak";
import type { Grey } from "./grey.ts";

/** By how much the frame moved between two pictures, in pixels of those given; `null` where that cannot be told. */
export interface FrameShift {
  readonly x: number;
  readonly y: number;
  /** Corners of the picture that moved by this much, 2 to 4. */
  readonly agreeing: number;
}

interface Found {
  readonly x: number;
  readonly y: number;
}

/** Corners that differ by less than this moved together. */
const togetherPixels = 0.6;

/**
 * The shift of the camera, judged in the four corners apart: a sitter who moves fills at most some of them, a
 * frame that moves takes all with it. Each corner is matched by least squares after its mean is taken off, so a
 * change of exposure is no shift; the place between pixels comes from a parabola.
 *
 * @param reach - Farthest shift looked for, pixels.
 * @returns `null` where fewer than two corners hold enough to judge, or they do not agree.
 */
export function frameShift(before: Grey, after: Grey, reach = 6): FrameShift | null {
  const w = Math.floor(before.width * 0.3) - reach;
  const h = Math.floor(before.height * 0.45) - reach;
  if (w < 6 || h < 6 || before.width !== after.width || before.height !== after.height) return null;
  const found: Found[] = [];
  for (const left of [reach, before.width - reach - w]) {
    for (const top of [reach, before.height - reach - h]) {
      const match = matchBlock(before, after, left, top, w, h, reach);
      if (match) found.push(match);
    }
  }
  if (found.length < 2) return null;
  const groups = found.map((a) => found.filter((b) => Math.hypot(a.x - b.x, a.y - b.y) < togetherPixels));
  const best = groups.sort((a, b) => b.length - a.length)[0]!;
  // Three of four, or all of two or three that could be judged.
  if (best.length < Math.min(3, found.length)) return null;
  const mean = (pick: (f: Found) => number): number =>
    best.reduce((sum, f) => sum + pick(f), 0) / best.length;
  return { x: mean((f) => f.x), y: mean((f) => f.y), agreeing: best.length };
}

function matchBlock(
  before: Grey,
  after: Grey,
  left: number,
  top: number,
  w: number,
  h: number,
  reach: number,
): Found | null {
  const cost = (dx: number, dy: number): number => {
    let sum = 0;
    let squares = 0;
    for (let y = 0; y < h; y++) {
      const a = (top + y) * before.width + left;
      const b = (top + y + dy) * after.width + left + dx;
      for (let x = 0; x < w; x++) {
        const d = before.values[a + x]! - after.values[b + x]!;
        sum += d;
        squares += d * d;
      }
    }
    return squares / (w * h) - (sum / (w * h)) ** 2;
  };
  let least = Number.POSITIVE_INFINITY;
  let bestX = 0;
  let bestY = 0;
  let total = 0;
  for (let dy = -reach; dy <= reach; dy++) {
    for (let dx = -reach; dx <= reach; dx++) {
      const c = cost(dx, dy);
      total += c;
      if (c < least) [least, bestX, bestY] = [c, dx, dy];
    }
  }
  const mean = total / (2 * reach + 1) ** 2;
  // A plain wall matches everywhere; a match at the rim may lie farther out.
  if (mean < 2e-5 || least > 0.6 * mean) return null;
  const inside = (v: number): boolean => Math.abs(v) < reach;
  const fine = (along: (step: number) => number): number => parabolaTop(-along(-1), -along(0), -along(1));
  return {
    x: bestX + (inside(bestX) ? fine((s) => cost(bestX + s, bestY)) : 0),
    y: bestY + (inside(bestY) ? fine((s) => cost(bestX, bestY + s)) : 0),
  };
}
