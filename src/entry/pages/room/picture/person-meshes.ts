import { BoxGeometry, Group } from "three";
import type { ScenePerson } from "#room/scene";
import { clayShape, type Detail } from "./clay-shape.ts";
import { geometryOf, materials, solid } from "./solids.ts";

const degree = Math.PI / 180;

/** A person as clay, on a chair if seated. */
export function personGroup(person: ScenePerson, detail: Detail): Group {
  const shape = clayShape(person.stature, person.seatHeight, detail);
  const group = new Group();
  for (const surface of shape.body) {
    const part = solid(geometryOf(surface), materials.clay);
    part.rotation.z = -person.bodyHeading * degree;
    part.position.set(person.head[0], person.head[1], 0);
    group.add(part);
  }
  const head = solid(geometryOf(shape.head), materials.clay);
  head.rotation.z = -person.headHeading * degree;
  head.position.set(person.head[0], person.head[1], person.head[2]);
  group.add(head);
  if (person.seatHeight !== null) {
    const chair = new Group();
    const add = (w: number, d: number, h: number, x: number, y: number, z: number): void => {
      const part = solid(new BoxGeometry(w, d, h), materials.wood);
      part.position.set(x, y, z);
      chair.add(part);
    };
    const seat = person.seatHeight;
    add(0.44, 0.44, 0.04, 0, 0.05, seat - 0.02);
    for (const x of [-0.2, 0.2]) {
      add(0.035, 0.035, seat, x, 0.25, seat / 2);
      add(0.035, 0.035, seat + 0.42, x, -0.19, (seat + 0.42) / 2);
    }
    add(0.4, 0.025, 0.14, 0, -0.19, seat + 0.33);
    chair.rotation.z = -person.bodyHeading * degree;
    chair.position.set(person.head[0], person.head[1], 0);
    group.add(chair);
  }
  return group;
}
