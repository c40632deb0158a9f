import {
  BufferAttribute,
  BufferGeometry,
  CylinderGeometry,
  DoubleSide,
  type Material,
  Mesh,
  MeshBasicMaterial,
  MeshLambertMaterial,
  Quaternion,
  Vector3,
} from "three";
import type { Vector3 as V3 } from "#science/geometry/vector3";
import type { Surface } from "./surface-nets.ts";

const lambert = (colour: number, side = false): MeshLambertMaterial =>
  new MeshLambertMaterial({ color: colour, ...(side ? { side: DoubleSide } : {}) });

/** One set for every model of the page: what is compiled for a graphics context once is not compiled again in a drag. */
export const materials = {
  /** Reflects half. */
  clay: lambert(0xcdbfa8),
  wall: lambert(0x8b8780, true),
  floor: lambert(0x5f5a53, true),
  ceiling: lambert(0xa09c94, true),
  wood: lambert(0x7d6c57),
  dark: lambert(0x25262a),
  box: lambert(0x8a8378),
  lit: new MeshBasicMaterial({ color: 0xffffff }),
};

/** What stays on the graphics side for the next model. */
export const kept: WeakSet<BufferGeometry> = new WeakSet();
const made = new WeakMap<Surface, BufferGeometry>();

/** The clay's shape, sent to the graphics side once. */
export function geometryOf(surface: Surface): BufferGeometry {
  const known = made.get(surface);
  if (known) return known;
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(surface.positions, 3));
  geometry.setAttribute("normal", new BufferAttribute(surface.normals, 3));
  geometry.setIndex(new BufferAttribute(surface.indices, 1));
  made.set(surface, geometry);
  kept.add(geometry);
  return geometry;
}

/** A solid that throws a shadow and bears those of others. */
export function solid(geometry: BufferGeometry, material: Material, casts = true): Mesh {
  const mesh = new Mesh(geometry, material);
  mesh.castShadow = casts;
  mesh.receiveShadow = true;
  return mesh;
}

/** A rod from one point to another. */
export function between(from: V3, to: V3, radius: number, material: Material): Mesh {
  const way = new Vector3(to[0] - from[0], to[1] - from[1], to[2] - from[2]);
  const mesh = solid(new CylinderGeometry(radius, radius, Math.max(0.001, way.length()), 12), material);
  mesh.position.set((from[0] + to[0]) / 2, (from[1] + to[1]) / 2, (from[2] + to[2]) / 2);
  mesh.quaternion.copy(new Quaternion().setFromUnitVectors(new Vector3(0, 1, 0), way.normalize()));
  return mesh;
}
