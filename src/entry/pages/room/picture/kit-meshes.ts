import { BoxGeometry, Group, type Material, Mesh, MeshBasicMaterial, PlaneGeometry } from "three";
import type { SceneLight } from "#room/scene";
import { directionOf } from "#science/geometry/vector3";
import { between, materials, solid } from "./solids.ts";

/** A stand's legs and column. */
export function standMeshes(
  at: readonly [number, number],
  footprint: number,
  top: number,
  material: Material,
): Mesh[] {
  const height = Math.max(0.2, top);
  const joint = Math.min(height * 0.75, Math.max(0.25, footprint * 1.6));
  const legs = [90, 210, 330].map((turn) => {
    const way = directionOf(turn);
    return between(
      [at[0] + way[0] * footprint, at[1] + way[1] * footprint, 0.01],
      [at[0], at[1], joint],
      0.012,
      material,
    );
  });
  return [...legs, between([at[0], at[1], joint], [at[0], at[1], height], 0.014, material)];
}

/** What of a light a frame would see: its shining face. */
export function facingPanel(placed: SceneLight): Group {
  const group = new Group();
  const [w, h] = placed.size;
  const back = solid(new BoxGeometry(w, h, 0.08), materials.dark, false);
  const glow = new MeshBasicMaterial();
  // Luminance of an even face: candela over its area.
  const nits = placed.luxAtOneMetre / Math.max(0.002, w * h);
  glow.color.setRGB(nits, nits, nits);
  const front = new Mesh(new PlaneGeometry(w * 0.96, h * 0.96), glow);
  back.position.z = 0.06;
  front.rotation.y = Math.PI;
  front.position.z = 0.015;
  group.add(back, front);
  group.position.set(...(placed.point as [number, number, number]));
  group.up.set(0, 0, 1);
  group.lookAt(
    placed.point[0] - placed.direction[0],
    placed.point[1] - placed.direction[1],
    placed.point[2] - placed.direction[2],
  );
  return group;
}
