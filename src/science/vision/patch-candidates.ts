import type { Planes } from "./planes.ts";

/** A small even area that is about as filled as a tilted square: perhaps a patch of a chart. */
export interface PatchCandidate {
  /** Centre, pixels; 0 at the middle of the first pixel. */
  readonly x: number;
  readonly y: number;
  /** Pixels. */
  readonly area: number;
  /** Root of the area. */
  readonly side: number;
}

/** Steepness, in code values a pixel, above which a pixel counts as an edge: low ones for log pictures and dark patches. */
const edgeLevels = [0.008, 0.016, 0.032, 0.064, 0.12];
/** Pixels, [least, most]. */
const patchAreas = [9, 1300] as const;

/**
 * Even areas of the size and fullness of a chart's patches.
 *
 * The picture is cut at its edges at several steepnesses; every connected area between edges is kept where its
 * second moments say that it is a filled parallelogram and not a ring, a line or a ragged cloud: for a
 * parallelogram of area A the determinant of the covariance is A²/144.
 *
 * @param picture - Blurred a little, so that noise makes no edges.
 */
export function findPatchCandidates(picture: Planes): PatchCandidate[] {
  const steepness = edgeSteepness(picture);
  const found: PatchCandidate[] = [];
  // One for all levels: made anew for each, it would cost as much as the looking.
  const space = runSpace(picture.width, picture.height);
  for (const level of edgeLevels) {
    for (const area of evenAreas(steepness, picture.width, picture.height, level, patchAreas, space)) {
      if (area.fullness < 0.8 || area.aspect > 2.8) continue;
      found.push({ x: area.x, y: area.y, area: area.pixels, side: Math.sqrt(area.pixels) });
    }
  }
  return mergeSame(found);
}

/** An area without edges, by its second moments. */
export interface EvenArea {
  readonly pixels: number;
  readonly x: number;
  readonly y: number;
  /** Pixels over the area of the parallelogram with the same moments. */
  readonly fullness: number;
  /** Longer over shorter axis. */
  readonly aspect: number;
  /** Half its extent across and down were it a box, pixels. */
  readonly halfWidth: number;
  readonly halfHeight: number;
}

/** Room for every run that a picture may have, whatever was in it before. */
export interface RunSpace {
  readonly parent: Int32Array;
  readonly sums: Float64Array;
  readonly from: Int32Array;
  readonly to: Int32Array;
}

/** Room for the runs of a picture of so many pixels. */
function runSpace(width: number, height: number): RunSpace {
  const most = ((width >> 1) + 1) * height;
  return {
    parent: new Int32Array(most),
    sums: new Float64Array(most * 6),
    from: new Int32Array(most),
    to: new Int32Array(most),
  };
}

/**
 * Connected areas below an edge level, of a size in pixels from least to most, with their shape by second moments.
 *
 * Row by row in runs: a run joins every run above that it touches, and each area's sums follow from its runs' ends,
 * so that the large grounds cost no more than their outlines.
 */
export function evenAreas(
  steepness: Float32Array,
  width: number,
  height: number,
  level: number,
  [leastArea, mostArea]: readonly [number, number],
  { parent, sums, from, to }: RunSpace = runSpace(width, height),
): EvenArea[] {
  const rootOf = (i: number): number => {
    let at = i;
    while (parent[at]! !== at) {
      parent[at] = parent[parent[at]!]!;
      at = parent[at]!;
    }
    return at;
  };
  let count = 0;
  let aboveStart = 0;
  let aboveEnd = 0;
  // The picture's rim is left out, so that no area reaches beyond it.
  for (let y = 1; y < height - 1; y++) {
    const row = y * width;
    const rowStart = count;
    let above = aboveStart;
    let x = 1;
    while (x < width - 1) {
      if (steepness[row + x]! > level) {
        x++;
        continue;
      }
      const start = x;
      while (x < width - 1 && steepness[row + x]! <= level) x++;
      const run = count++;
      parent[run] = run;
      from[run] = start;
      to[run] = x;
      const n = x - start;
      const sx = (n * (start + x - 1)) / 2;
      const sxx = squaresBelow(x) - squaresBelow(start);
      const k = run * 6;
      sums[k] = n;
      sums[k + 1] = sx;
      sums[k + 2] = n * y;
      sums[k + 3] = sxx;
      sums[k + 4] = n * y * y;
      sums[k + 5] = sx * y;
      while (above < aboveEnd && to[above]! <= start) above++;
      for (let other = above; other < aboveEnd && from[other]! < x; other++) {
        const a = rootOf(other);
        const b = rootOf(run);
        if (a === b) continue;
        parent[b] = a;
        for (let c = 0; c < 6; c++) sums[a * 6 + c] = sums[a * 6 + c]! + sums[b * 6 + c]!;
      }
    }
    aboveStart = rowStart;
    aboveEnd = count;
  }
  const areas: EvenArea[] = [];
  for (let run = 0; run < count; run++) {
    if (parent[run] !== run) continue;
    const k = run * 6;
    const n = sums[k]!;
    if (n < leastArea || n > mostArea) continue;
    const mx = sums[k + 1]! / n;
    const my = sums[k + 2]! / n;
    // A pixel is a small square itself: 1/12 of variance each way.
    const vx = sums[k + 3]! / n - mx * mx + 1 / 12;
    const vy = sums[k + 4]! / n - my * my + 1 / 12;
    const vxy = sums[k + 5]! / n - mx * my;
    const root = Math.sqrt(Math.max(vx * vy - vxy * vxy, 1e-9));
    const half = (vx + vy) / 2;
    const gap = Math.sqrt(Math.max(0, half * half - root * root));
    areas.push({
      pixels: n,
      x: mx,
      y: my,
      fullness: n / (12 * root),
      aspect: Math.sqrt((half + gap) / Math.max(half - gap, 1e-9)),
      halfWidth: Math.sqrt(3 * vx),
      halfHeight: Math.sqrt(3 * vy),
    });
  }
  return areas;
}

/** 0² + 1² + … + (n − 1)². */
function squaresBelow(n: number): number {
  return ((n - 1) * n * (2 * n - 1)) / 6;
}

/** The same patch at several steepnesses is one: the largest stays. */
function mergeSame(found: readonly PatchCandidate[]): PatchCandidate[] {
  const bySize = [...found].sort((a, b) => b.area - a.area);
  const kept: PatchCandidate[] = [];
  const cell = 16;
  const bins = new Map<number, PatchCandidate[]>();
  const key = (x: number, y: number): number => Math.floor(y / cell) * 4096 + Math.floor(x / cell);
  for (const one of bySize) {
    let same = false;
    for (let dy = -1; dy <= 1 && !same; dy++) {
      for (let dx = -1; dx <= 1 && !same; dx++) {
        for (const other of bins.get(key(one.x + dx * cell, one.y + dy * cell)) ?? []) {
          if (Math.hypot(one.x - other.x, one.y - other.y) < 0.4 * Math.min(other.side, 2 * cell)) {
            same = true;
            break;
          }
        }
      }
    }
    if (same) continue;
    kept.push(one);
    const k = key(one.x, one.y);
    const bin = bins.get(k);
    if (bin) bin.push(one);
    else bins.set(k, [one]);
  }
  return kept;
}

/** Largest over the channels of the central difference, per pixel. */
export function edgeSteepness({ width, height, planes }: Planes): Float32Array {
  const out = new Float32Array(width * height);
  for (const plane of planes) {
    for (let y = 1; y < height - 1; y++) {
      const row = y * width;
      for (let i = row + 1; i < row + width - 1; i++) {
        const dx = Math.abs(plane[i + 1]! - plane[i - 1]!);
        const dy = Math.abs(plane[i + width]! - plane[i - width]!);
        const steep = Math.max(dx, dy) / 2;
        if (steep > out[i]!) out[i] = steep;
      }
    }
  }
  return out;
}
