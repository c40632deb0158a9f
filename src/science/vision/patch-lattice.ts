import type { PatchCandidate } from "./patch-candidates.ts";

/** Candidates that lie on one bent grid: each with its whole-number place, columns to the right of rows downwards. */
export interface PatchLattice {
  readonly cells: readonly {
    readonly column: number;
    readonly row: number;
    readonly patch: PatchCandidate;
  }[];
}

/** Fewer than this say nothing. */
const leastCells = 8;
/** A chart has six by four; a grid that grows beyond this is a wall, and is looked at window by window. */
const farthest = 11;
const mostLattices = 40;
/** How far the next cell may lie from where it is expected, in steps. */
const growReach = 0.18;

/**
 * Grids of like-sized patches, largest first.
 *
 * From each patch and two of its neighbours as steps, the grid grows cell by cell; each step is predicted from the
 * cells beside it, so that perspective may bend the grid.
 */
export function findPatchLattices(patches: readonly PatchCandidate[]): PatchLattice[] {
  const near = neighbourFinder(patches);
  const usedInLarge = new Set<PatchCandidate>();
  const found: PatchLattice[] = [];
  for (const seed of [...patches].sort((a, b) => b.area - a.area)) {
    if (usedInLarge.has(seed)) continue;
    const around = near(seed.x, seed.y, 3.2 * seed.side)
      .filter(
        (p) => p !== seed && likeSized(p, seed) && Math.hypot(p.x - seed.x, p.y - seed.y) > 0.9 * seed.side,
      )
      .sort((p, q) => Math.hypot(p.x - seed.x, p.y - seed.y) - Math.hypot(q.x - seed.x, q.y - seed.y))
      .slice(0, 6);
    let best: PatchLattice | null = null;
    for (let j = 0; j < around.length; j++) {
      for (let k = j + 1; k < around.length; k++) {
        const lattice = grow(seed, around[j]!, around[k]!, near);
        if (lattice && lattice.cells.length > (best?.cells.length ?? leastCells - 1)) best = lattice;
      }
    }
    if (!best) continue;
    found.push(best);
    if (best.cells.length >= 12) for (const { patch } of best.cells) usedInLarge.add(patch);
  }
  return found.sort((a, b) => b.cells.length - a.cells.length).slice(0, mostLattices);
}

function likeSized(a: PatchCandidate, b: PatchCandidate): boolean {
  return a.area < 3.2 * b.area && b.area < 3.2 * a.area;
}

function grow(
  seed: PatchCandidate,
  first: PatchCandidate,
  second: PatchCandidate,
  near: (x: number, y: number, radius: number) => PatchCandidate[],
): PatchLattice | null {
  let u = [first.x - seed.x, first.y - seed.y] as const;
  let v = [second.x - seed.x, second.y - seed.y] as const;
  const cross = u[0] * v[1] - u[1] * v[0];
  const lengthU = Math.hypot(...u);
  const lengthV = Math.hypot(...v);
  const sine = Math.abs(cross) / (lengthU * lengthV);
  if (sine < 0.55 || lengthU > 2 * lengthV || lengthV > 2 * lengthU) return null;
  // A diagonal is no step: of all pairs that make the same grid only the shortest are steps (Lagrange's reduction).
  const longest = Math.max(lengthU, lengthV);
  const sum = Math.hypot(u[0] + v[0], u[1] + v[1]);
  const difference = Math.hypot(u[0] - v[0], u[1] - v[1]);
  if (Math.min(sum, difference) < 0.98 * longest) return null;
  // Columns to the right of rows downwards, never mirrored.
  if (cross < 0) [u, v] = [v, u];
  const at = new Map<number, PatchCandidate>();
  const taken = new Set<PatchCandidate>();
  const key = (c: number, r: number): number => (r + 32) * 64 + c + 32;
  const put = (c: number, r: number, p: PatchCandidate): void => {
    at.set(key(c, r), p);
    taken.add(p);
  };
  put(0, 0, seed);
  const queue: [number, number][] = [[0, 0]];
  while (queue.length > 0) {
    const [c, r] = queue.shift()!;
    const here = at.get(key(c, r))!;
    for (const [dc, dr] of [
      [1, 0],
      [-1, 0],
      [0, 1],
      [0, -1],
    ] as const) {
      const [nc, nr] = [c + dc, r + dr];
      if (Math.abs(nc) > farthest || Math.abs(nr) > farthest || at.has(key(nc, nr))) continue;
      // The step just taken on the other side, or beside, or the seed's own.
      const base = dc !== 0 ? u : v;
      const sign = dc + dr;
      let step: readonly [number, number] = [base[0] * sign, base[1] * sign];
      const behind = at.get(key(c - dc, r - dr));
      const besides = [
        [c + dr, r + dc],
        [c - dr, r - dc],
      ].flatMap(([bc, br]) => {
        const p = at.get(key(bc!, br!));
        const q = at.get(key(bc! + dc, br! + dr));
        return p && q ? [[q.x - p.x, q.y - p.y] as const] : [];
      });
      if (behind) step = [here.x - behind.x, here.y - behind.y];
      else if (besides[0]) step = besides[0];
      const [px, py] = [here.x + step[0], here.y + step[1]];
      const reach = growReach * Math.hypot(...step);
      let nearest: PatchCandidate | null = null;
      let distance = reach;
      for (const p of near(px, py, reach)) {
        const d = Math.hypot(p.x - px, p.y - py);
        if (d < distance && !taken.has(p) && likeSized(p, here)) {
          nearest = p;
          distance = d;
        }
      }
      if (!nearest) continue;
      put(nc, nr, nearest);
      queue.push([nc, nr]);
    }
  }
  if (at.size < leastCells) return null;
  return {
    cells: [...at].map(([k, patch]) => ({ column: (k % 64) - 32, row: Math.floor(k / 64) - 32, patch })),
  };
}

function neighbourFinder(
  patches: readonly PatchCandidate[],
): (x: number, y: number, radius: number) => PatchCandidate[] {
  const cell = 24;
  const bins = new Map<number, PatchCandidate[]>();
  const key = (cx: number, cy: number): number => (cy + 64) * 4096 + cx + 64;
  for (const p of patches) {
    const k = key(Math.floor(p.x / cell), Math.floor(p.y / cell));
    const bin = bins.get(k);
    if (bin) bin.push(p);
    else bins.set(k, [p]);
  }
  return (x, y, radius) => {
    const out: PatchCandidate[] = [];
    for (let cy = Math.floor((y - radius) / cell); cy <= Math.floor((y + radius) / cell); cy++) {
      for (let cx = Math.floor((x - radius) / cell); cx <= Math.floor((x + radius) / cell); cx++) {
        for (const p of bins.get(key(cx, cy)) ?? []) if (Math.hypot(p.x - x, p.y - y) <= radius) out.push(p);
      }
    }
    return out;
  };
}
