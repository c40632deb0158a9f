import {
  DoubleSide,
  type Material,
  Mesh,
  MeshBasicMaterial,
  Path,
  PlaneGeometry,
  Shape,
  ShapeGeometry,
} from "three";
import type { SceneWall } from "#room/scene";

/** A wall with its openings cut out; a shut door is filled, a window shows the sky. */
export function wallMeshes(
  wall: SceneWall,
  height: number,
  material: Material,
  skyNits: number,
  hasSky: boolean,
): Mesh[] {
  const shape = new Shape();
  shape.moveTo(0, 0).lineTo(wall.metres, 0).lineTo(wall.metres, height).lineTo(0, height);
  const meshes: Mesh[] = [];
  const put = (mesh: Mesh, out: number): Mesh => {
    mesh.matrixAutoUpdate = false;
    // x along the wall, y up, z into the room.
    mesh.matrix.set(
      wall.along[0],
      0,
      wall.inward[0],
      wall.from[0] - wall.inward[0] * out,
      wall.along[1],
      0,
      wall.inward[1],
      wall.from[1] - wall.inward[1] * out,
      0,
      1,
      0,
      0,
      0,
      0,
      0,
      1,
    );
    return mesh;
  };
  for (const opening of wall.openings) {
    const isOpen = opening.said.kind !== "door" || opening.said.open;
    const hole = new Path();
    const [top, bottom] = [Math.min(opening.head, height), Math.max(0.001, opening.sill)];
    hole
      .moveTo(opening.from, bottom)
      .lineTo(opening.from, top)
      .lineTo(opening.to, top)
      .lineTo(opening.to, bottom);
    shape.holes.push(hole);
    const pane = new PlaneGeometry(opening.to - opening.from, top - bottom);
    pane.translate((opening.from + opening.to) / 2, (top + bottom) / 2, 0);
    if (!isOpen) meshes.push(put(new Mesh(pane, material), 0.05));
    else if (hasSky) {
      const sky = new MeshBasicMaterial({ side: DoubleSide });
      sky.color.setRGB(skyNits, skyNits * 1.02, skyNits * 1.08);
      meshes.push(put(new Mesh(pane, sky), 0.12));
    }
  }
  const face = put(new Mesh(new ShapeGeometry(shape), material), 0);
  face.castShadow = true;
  face.receiveShadow = true;
  return [face, ...meshes];
}
