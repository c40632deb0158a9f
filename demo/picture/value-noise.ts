import { hash32 } from "../random.ts";

function corner(x: number, y: number, z: number): number {
  return hash32(x, y, z) / 4294967296;
}

/** Smooth noise in [0, 1] over the room, one bump per unit (value noise on a lattice, cubic easing). */
export function valueNoise(x: number, y: number, z: number): number {
  const x0 = Math.floor(x);
  const y0 = Math.floor(y);
  const z0 = Math.floor(z);
  let u = x - x0;
  let v = y - y0;
  let w = z - z0;
  u = u * u * (3 - 2 * u);
  v = v * v * (3 - 2 * v);
  w = w * w * (3 - 2 * w);
  const a = corner(x0, y0, z0) * (1 - u) + corner(x0 + 1, y0, z0) * u;
  const b = corner(x0, y0 + 1, z0) * (1 - u) + corner(x0 + 1, y0 + 1, z0) * u;
  const c = corner(x0, y0, z0 + 1) * (1 - u) + corner(x0 + 1, y0, z0 + 1) * u;
  const d = corner(x0, y0 + 1, z0 + 1) * (1 - u) + corner(x0 + 1, y0 + 1, z0 + 1) * u;
  return (a * (1 - v) + b * v) * (1 - w) + (c * (1 - v) + d * v) * w;
}

/** Three octaves of {@link valueNoise}, in [0, 1]. */
export function fractalNoise(x: number, y: number, z: number): number {
  return (
    (valueNoise(x, y, z) +
      0.5 * valueNoise(x * 2.03 + 7, y * 2.03, z * 2.03) +
      0.25 * valueNoise(x * 4.1, y * 4.1 + 3, z * 4.1)) /
    1.75
  );
}
