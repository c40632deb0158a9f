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
const leastArea = 9;
const mostArea = 1300;

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
  const { width, height } = picture;
  const steepness = edgeSteepness(picture);
  const label = new Uint8Array(width * height);
  const stack = new Int32Array(width * height);
  const found: PatchCandidate[] = [];
  for (const level of edgeLevels) {
    label.fill(0);
    // The rim is an edge, so that no area leaves the picture.
    for (let x = 0; x < width; x++) label[x] = label[(height - 1) * width + x] = 1;
    for (let y = 0; y < height; y++) label[y * width] = label[y * width + width - 1] = 1;
    for (let i = 0; i < label.length; i++) if (steepness[i]! > level) label[i] = 1;
    for (let start = width + 1; start < label.length - width; start++) {
      if (label[start] !== 0) continue;
      let depth = 0;
      stack[depth++] = start;
      label[start] = 1;
      const x0 = start % width;
      const y0 = (start - x0) / width;
      let n = 0;
      let sx = 0;
      let sy = 0;
      let sxx = 0;
      let syy = 0;
      let sxy = 0;
      while (depth > 0) {
        const i = stack[--depth]!;
        n++;
        if (n <= mostArea) {
          const x = (i % width) - x0;
          const y = ((i / width) | 0) - y0;
          sx += x;
          sy += y;
          sxx += x * x;
          syy += y * y;
          sxy += x * y;
        }
        if (label[i - 1] === 0) (label[i - 1] = 1), (stack[depth++] = i - 1);
        if (label[i + 1] === 0) (label[i + 1] = 1), (stack[depth++] = i + 1);
        if (label[i - width] === 0) (label[i - width] = 1), (stack[depth++] = i - width);
        if (label[i + width] === 0) (label[i + width] = 1), (stack[depth++] = i + width);
      }
      if (n < leastArea || n > mostArea) continue;
      const mx = sx / n;
      const my = sy / n;
      // A pixel is a small square itself: 1/12 of variance each way.
      const vx = sxx / n - mx * mx + 1 / 12;
      const vy = syy / n - my * my + 1 / 12;
      const vxy = sxy / n - mx * my;
      const root = Math.sqrt(Math.max(vx * vy - vxy * vxy, 1e-9));
      const fullness = n / (12 * root);
      const half = (vx + vy) / 2;
      const gap = Math.sqrt(Math.max(0, half * half - root * root));
      const aspect = Math.sqrt((half + gap) / Math.max(half - gap, 1e-9));
      if (fullness < 0.8 || aspect > 2.8) continue;
      found.push({ x: x0 + mx, y: y0 + my, area: n, side: Math.sqrt(n) });
    }
  }
  return mergeSame(found);
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
function edgeSteepness({ width, height, planes }: Planes): Float32Array {
  const out = new Float32Array(width * height);
  for (const plane of planes) {
    for (let y = 1; y < height - 1; y++) {
      const row = y * width;
      for (let i = row + 1; i < row + width - 1; i++) {
        const dx = Math.abs(plane[i + 1]! - plane[i - 1]!);
        const dy = Math.abs(plane[i + width]! - plane[i - width]!);
        const steep = (dx > dy ? dx : dy) / 2;
        if (steep > out[i]!) out[i] = steep;
      }
    }
  }
  return out;
}
