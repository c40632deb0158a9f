import type { Vector3 } from "../geometry/vector3.ts";

/**
 * Configuration factor of a flat shining polygon as seen by a small surface: the illuminance is this times π times the
 * polygon's luminance, the same all over it and in all directions.
 *
 * What lies behind the surface's own horizon is cut off first. Exact; for a source that one cannot take for a point.
 *
 * @param corners - Of the polygon, a loop either way round, metres.
 * @param at - The lit point.
 * @param normal - Which way the surface faces, length 1.
 * @returns 0 to 1.
 *
 * Source: J. H. Lambert, Photometria (1760): E = (L/2) Σ θᵢ cos ηᵢ over the edges, θᵢ the angle that an edge subtends
 * and ηᵢ the angle of its plane's normal to the surface's.
 */
export function polygonFactor(corners: readonly Vector3[], at: Vector3, normal: Vector3): number {
  const seen: [number, number, number][] = [];
  const n = corners.length;
  for (let i = 0; i < n; i++) {
    const a = corners[i]!;
    const b = corners[(i + 1) % n]!;
    const ax = a[0] - at[0];
    const ay = a[1] - at[1];
    const az = a[2] - at[2];
    const bx = b[0] - at[0];
    const by = b[1] - at[1];
    const bz = b[2] - at[2];
    const ha = ax * normal[0] + ay * normal[1] + az * normal[2];
    const hb = bx * normal[0] + by * normal[1] + bz * normal[2];
    if (ha >= 0) seen.push([ax, ay, az]);
    if (ha >= 0 !== hb >= 0) {
      const t = ha / (ha - hb);
      seen.push([ax + (bx - ax) * t, ay + (by - ay) * t, az + (bz - az) * t]);
    }
  }
  let sum = 0;
  for (let i = 0; i < seen.length; i++) {
    const [ax, ay, az] = seen[i]!;
    const [bx, by, bz] = seen[(i + 1) % seen.length]!;
    const cx = ay * bz - az * by;
    const cy = az * bx - ax * bz;
    const cz = ax * by - ay * bx;
    const length = Math.sqrt(cx * cx + cy * cy + cz * cz);
    if (length < 1e-15) continue;
    const angle = Math.atan2(length, ax * bx + ay * by + az * bz);
    sum += (angle * (cx * normal[0] + cy * normal[1] + cz * normal[2])) / length;
  }
  return Math.abs(sum) / (2 * Math.PI);
}
