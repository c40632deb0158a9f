import type { Vector3 } from "./lens-view.ts";

/*
 * The light of the loft. A tall window in the left wall is the key; a paned window in the end wall gives the
 * cool edge; a lantern gives the warm one. Intensities are relative: the key's grey is made grey by both
 * cameras' white balance.
 */

export interface WindowLight {
  /** `x`: in the wall x = -2.7, seen from +x; `z`: in the wall z = -3.6, seen from +z. */
  readonly wall: "x" | "z";
  /** Ranges along the wall and up, metres. */
  readonly along: readonly [number, number];
  readonly up: readonly [number, number];
  readonly panesAlong: number;
  readonly panesUp: number;
  readonly radiance: Vector3;
}

export const room = { minX: -2.7, maxX: 3.1, minY: 0, maxY: 2.75, minZ: -3.6, maxZ: 3.4 } as const;

export const windows: readonly WindowLight[] = [
  { wall: "x", along: [0.0, 1.7], up: [1.0, 2.4], panesAlong: 4, panesUp: 4, radiance: [6.4, 6.4, 6.4] },
  { wall: "z", along: [-1.82, -1.02], up: [1.15, 2.2], panesAlong: 3, panesUp: 4, radiance: [2.7, 3.0, 3.5] },
];

export const lantern = { position: [1.42, 1.98, -1.75] as Vector3, intensity: [1.3, 0.76, 0.34] as Vector3 };

/** Width of a glazing bar's half, metres. */
const barHalf = 0.016;

/** Whether a point of a window, as fractions (0 to 1) along and up, is glass and not glazing bar. */
export function isGlass(light: WindowLight, along: number, up: number): boolean {
  const wide = light.along[1] - light.along[0];
  const high = light.up[1] - light.up[0];
  const toBarAlong =
    (Math.abs(along * light.panesAlong - Math.round(along * light.panesAlong)) * wide) / light.panesAlong;
  const toBarUp = (Math.abs(up * light.panesUp - Math.round(up * light.panesUp)) * high) / light.panesUp;
  return toBarAlong > barHalf && toBarUp > barHalf;
}

/** A point of a window from fractions along and up. */
export function pointOnWindow(light: WindowLight, along: number, up: number): Vector3 {
  const a = light.along[0] + along * (light.along[1] - light.along[0]);
  const y = light.up[0] + up * (light.up[1] - light.up[0]);
  return light.wall === "x" ? [room.minX + 0.01, y, a] : [a, y, room.minZ + 0.01];
}

/** Area in square metres. */
export function windowArea(light: WindowLight): number {
  return (light.along[1] - light.along[0]) * (light.up[1] - light.up[0]);
}

/**
 * Light that a window sends onto a surface, nothing being in between, by a rule of `steps` x `steps` points.
 *
 * @returns Irradiance over pi, times radiance 1: what a white matt surface would show.
 */
export function windowOnSurface(light: WindowLight, p: Vector3, n: Vector3, steps: number): number {
  let sum = 0;
  for (let i = 0; i < steps; i++)
    for (let j = 0; j < steps; j++) {
      const q = pointOnWindow(light, (i + 0.5) / steps, (j + 0.5) / steps);
      const dx = q[0] - p[0];
      const dy = q[1] - p[1];
      const dz = q[2] - p[2];
      const squared = dx * dx + dy * dy + dz * dz;
      const away = Math.sqrt(squared);
      const atSurface = (dx * n[0] + dy * n[1] + dz * n[2]) / away;
      const atWindow = (light.wall === "x" ? -dx : -dz) / away;
      if (atSurface > 0 && atWindow > 0) sum += (atSurface * atWindow) / squared;
    }
  return (sum * windowArea(light)) / (steps * steps * Math.PI);
}

/** Radiance of a window along a ray, if the ray leaves the room through its glass; else null. */
export function windowAlong(p: Vector3, d: Vector3): Vector3 | null {
  for (const light of windows) {
    const t = light.wall === "x" ? (room.minX - p[0]) / d[0] : (room.minZ - p[2]) / d[2];
    if (!(t > 0)) continue;
    const along =
      ((light.wall === "x" ? p[2] + t * d[2] : p[0] + t * d[0]) - light.along[0]) /
      (light.along[1] - light.along[0]);
    const up = (p[1] + t * d[1] - light.up[0]) / (light.up[1] - light.up[0]);
    if (along > 0 && along < 1 && up > 0 && up < 1 && isGlass(light, along, up)) return light.radiance;
  }
  return null;
}
