/** A closed surface as triangles. */
export interface Surface {
  /** Three figures a corner, metres. */
  readonly positions: Float32Array;
  readonly normals: Float32Array;
  readonly indices: Uint32Array;
}

/** A signed distance: below 0 inside. It may be shorter than the true one, never much longer. */
export type Distance = (x: number, y: number, z: number) => number;

/** Cells along one side of a block that is looked at as a whole first. */
const block = 4;

/**
 * The surface where a distance is nought, by naive surface nets: one corner in each cell that it crosses, at the mean
 * of its crossings with the cell's edges. Blocks far from the surface are not looked into.
 *
 * Source: S. F. Gibson, Constrained Elastic Surface Nets (MICCAI 1998).
 *
 * @param step - Side of a cell, metres.
 */
export function surfaceOf(
  distance: Distance,
  low: readonly [number, number, number],
  high: readonly [number, number, number],
  step: number,
): Surface {
  const [nx, ny, nz] = [0, 1, 2].map((i) => Math.ceil((high[i]! - low[i]!) / step / block) * block + 1) as [
    number,
    number,
    number,
  ];
  const values = new Float32Array(nx * ny * nz);
  const at = (i: number, j: number, k: number): number => (k * ny + j) * nx + i;
  const half = (block / 2) * step;
  // Half a block's diagonal, and a cell for the corners that neighbours share.
  const near = half * Math.sqrt(3) + step;
  for (let k0 = 0; k0 < nz; k0 += block)
    for (let j0 = 0; j0 < ny; j0 += block)
      for (let i0 = 0; i0 < nx; i0 += block) {
        const [x0, y0, z0] = [low[0] + i0 * step, low[1] + j0 * step, low[2] + k0 * step];
        const middle = distance(x0 + half, y0 + half, z0 + half);
        const isFar = Math.abs(middle) > near;
        for (let k = k0; k < Math.min(nz, k0 + block); k++)
          for (let j = j0; j < Math.min(ny, j0 + block); j++)
            for (let i = i0; i < Math.min(nx, i0 + block); i++)
              values[at(i, j, k)] = isFar
                ? middle
                : distance(low[0] + i * step, low[1] + j * step, low[2] + k * step);
      }

  const corner = new Int32Array(nx * ny * nz).fill(-1);
  const positions: number[] = [];
  for (let k = 0; k < nz - 1; k++)
    for (let j = 0; j < ny - 1; j++)
      for (let i = 0; i < nx - 1; i++) {
        let sum = [0, 0, 0] as [number, number, number];
        let many = 0;
        for (const [a, b] of edges) {
          const va = values[at(i + (a & 1), j + ((a >> 1) & 1), k + (a >> 2))]!;
          const vb = values[at(i + (b & 1), j + ((b >> 1) & 1), k + (b >> 2))]!;
          if (va < 0 === vb < 0) continue;
          const t = va / (va - vb);
          many++;
          sum = [
            sum[0] + (a & 1) + t * ((b & 1) - (a & 1)),
            sum[1] + ((a >> 1) & 1) + t * (((b >> 1) & 1) - ((a >> 1) & 1)),
            sum[2] + (a >> 2) + t * ((b >> 2) - (a >> 2)),
          ];
        }
        if (many === 0) continue;
        corner[at(i, j, k)] = positions.length / 3;
        positions.push(
          low[0] + (i + sum[0] / many) * step,
          low[1] + (j + sum[1] / many) * step,
          low[2] + (k + sum[2] / many) * step,
        );
      }

  const indices: number[] = [];
  const quad = (a: number, b: number, c: number, d: number, turned: boolean): void => {
    if (a < 0 || b < 0 || c < 0 || d < 0) return;
    if (turned) indices.push(a, c, b, a, d, c);
    else indices.push(a, b, c, a, c, d);
  };
  for (let k = 1; k < nz - 1; k++)
    for (let j = 1; j < ny - 1; j++)
      for (let i = 1; i < nx - 1; i++) {
        const inside = values[at(i, j, k)]! < 0;
        const cell = (di: number, dj: number, dk: number): number => corner[at(i - di, j - dj, k - dk)]!;
        if (values[at(i + 1, j, k)]! < 0 !== inside)
          quad(cell(0, 1, 1), cell(0, 0, 1), cell(0, 0, 0), cell(0, 1, 0), !inside);
        if (values[at(i, j + 1, k)]! < 0 !== inside)
          quad(cell(1, 0, 1), cell(1, 0, 0), cell(0, 0, 0), cell(0, 0, 1), !inside);
        if (values[at(i, j, k + 1)]! < 0 !== inside)
          quad(cell(1, 1, 0), cell(0, 1, 0), cell(0, 0, 0), cell(1, 0, 0), !inside);
      }

  const normals = new Float32Array(positions.length);
  const h = step * 0.5;
  for (let v = 0; v < positions.length; v += 3) {
    const [x, y, z] = [positions[v]!, positions[v + 1]!, positions[v + 2]!];
    const gx = distance(x + h, y, z) - distance(x - h, y, z);
    const gy = distance(x, y + h, z) - distance(x, y - h, z);
    const gz = distance(x, y, z + h) - distance(x, y, z - h);
    const n = Math.hypot(gx, gy, gz) || 1;
    normals.set([gx / n, gy / n, gz / n], v);
  }
  return { positions: new Float32Array(positions), normals, indices: new Uint32Array(indices) };
}

/** The twelve edges of a cell; a corner's bits are its steps along x, y and z. */
const edges: readonly (readonly [number, number])[] = [
  [0, 1],
  [2, 3],
  [4, 5],
  [6, 7],
  [0, 2],
  [1, 3],
  [4, 6],
  [5, 7],
  [0, 4],
  [1, 5],
  [2, 6],
  [3, 7],
];
