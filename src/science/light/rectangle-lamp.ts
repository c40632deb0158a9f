import { cross, type Vector3 } from "../geometry/vector3.ts";
import { beamShare } from "./beam.ts";

/** A lamp with a flat face. */
export interface RectangleLamp {
  /** Middle of its face. */
  readonly point: Vector3;
  /** Where it points, length 1. */
  readonly direction: Vector3;
  /** Width and height of the face, metres. */
  readonly size: readonly [number, number];
  /** Intensity on the axis, candela: lux at one metre from so far away that the face is a point. */
  readonly candela: number;
  readonly beamDegrees: number;
}

/** The face is taken as this many points each way: within 2 % from one and a half times its size on. */
const across = 3;

/**
 * Illuminance of a lamp on a small surface, lux: inverse square, beam, angle and size, nothing in between.
 *
 * @param normal - Which way the surface faces, length 1; null: straight at each part of the lamp.
 */
export function rectangleLampLux(lamp: RectangleLamp, at: Vector3, normal: Vector3 | null): number {
  const { point, direction, size } = lamp;
  const level = Math.hypot(direction[0], direction[1]);
  // A lamp's face stands level; one that looks straight up or down has no level of its own.
  const right: Vector3 = level < 1e-9 ? [1, 0, 0] : [direction[1] / level, -direction[0] / level, 0];
  const up = cross(right, direction);
  const share = lamp.candela / (across * across);
  let lux = 0;
  for (let i = 0; i < across; i++) {
    const u = ((i + 0.5) / across - 0.5) * size[0];
    for (let j = 0; j < across; j++) {
      const v = ((j + 0.5) / across - 0.5) * size[1];
      const x = at[0] - point[0] - right[0] * u - up[0] * v;
      const y = at[1] - point[1] - right[1] * u - up[1] * v;
      const z = at[2] - point[2] - right[2] * u - up[2] * v;
      const square = x * x + y * y + z * z;
      if (square < 1e-6) continue;
      const distance = Math.sqrt(square);
      const facing = normal === null ? 1 : -(x * normal[0] + y * normal[1] + z * normal[2]) / distance;
      if (facing <= 0) continue;
      const cosine = (x * direction[0] + y * direction[1] + z * direction[2]) / distance;
      const off = (Math.acos(Math.max(-1, Math.min(1, cosine))) * 180) / Math.PI;
      lux += (share * facing * beamShare(off, lamp.beamDegrees)) / square;
    }
  }
  return lux;
}

/**
 * Angle that a lamp's face subtends at a point, degrees: how soft its light is there. The sun's is half a degree.
 *
 * @returns The mean of width and height, each foreshortened as it is seen from there.
 */
export function softnessDegrees(
  lamp: Pick<RectangleLamp, "point" | "direction" | "size">,
  at: Vector3,
): number {
  const way: Vector3 = [at[0] - lamp.point[0], at[1] - lamp.point[1], at[2] - lamp.point[2]];
  const distance = Math.max(0.01, Math.hypot(way[0], way[1], way[2]));
  const facing =
    (way[0] * lamp.direction[0] + way[1] * lamp.direction[1] + way[2] * lamp.direction[2]) / distance;
  const mean = Math.sqrt(lamp.size[0] * lamp.size[1] * Math.max(0, facing));
  return (2 * Math.atan(mean / 2 / distance) * 180) / Math.PI;
}

/**
 * Width of a shadow's edge, by similar triangles.
 *
 * @param softness - Angle that the source subtends, degrees.
 * @param behindMetres - From what throws the shadow to what it falls on.
 * @returns Metres from full light to full shadow.
 */
export const shadowEdgeMetres = (softness: number, behindMetres: number): number =>
  2 * Math.tan((softness * Math.PI) / 360) * behindMetres;
