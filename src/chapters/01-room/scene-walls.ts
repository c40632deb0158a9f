import type { Opening, PlanRoom } from "#documents/plan";
import { signedArea } from "#science/geometry/polygon";
import type { Vector3 } from "#science/geometry/vector3";

/** A window, a door or a hole as a rectangle in its wall. */
export interface SceneOpening {
  readonly said: Opening;
  readonly wall: number;
  /** Metres from the wall's first corner: [from, to). */
  readonly from: number;
  readonly to: number;
  readonly sill: number;
  readonly head: number;
  /** Its middle, on the wall's face. */
  readonly middle: Vector3;
  /** Lower two corners, then the upper two against them: a loop. */
  readonly corners: readonly [Vector3, Vector3, Vector3, Vector3];
  /** Share of outside light that comes through: nothing through a shut door. */
  readonly passes: number;
}

/** One wall: an edge of the outline. */
export interface SceneWall {
  readonly index: number;
  readonly from: readonly [number, number];
  readonly to: readonly [number, number];
  readonly metres: number;
  /** Along the wall from its first corner, length 1. */
  readonly along: readonly [number, number];
  /** Into the room, length 1. */
  readonly inward: readonly [number, number];
  /** Heading that a person looking out through it has, degrees clockwise from +y. */
  readonly outHeading: number;
  readonly material: string;
  readonly openings: readonly SceneOpening[];
}

function openingIn(said: Opening, wall: Omit<SceneWall, "openings">): SceneOpening {
  const at = (s: number, z: number): Vector3 => [
    wall.from[0] + wall.along[0] * s,
    wall.from[1] + wall.along[1] * s,
    z,
  ];
  const [from, to] = [said.from, said.from + said.width];
  const [sill, head] = [said.sill, said.sill + said.height];
  const clear = said.kind === "window" ? said.transmission : said.kind === "hole" || said.open ? 1 : 0;
  return {
    said,
    wall: wall.index,
    from,
    to,
    sill,
    head,
    middle: at((from + to) / 2, (sill + head) / 2),
    corners: [at(from, sill), at(to, sill), at(to, head), at(from, head)],
    passes: clear * (1 - said.covered),
  };
}

/** The outline's edges as walls, each with its openings, whichever way round the outline was drawn. */
export function wallsOf(room: PlanRoom): SceneWall[] {
  const turns = signedArea(room.outline) >= 0 ? 1 : -1;
  return room.outline.map((from, index) => {
    const to = room.outline[(index + 1) % room.outline.length]!;
    const metres = Math.hypot(to[0] - from[0], to[1] - from[1]);
    const along: [number, number] =
      metres > 0 ? [(to[0] - from[0]) / metres, (to[1] - from[1]) / metres] : [1, 0];
    const inward: [number, number] = [-along[1] * turns, along[0] * turns];
    const heading = (Math.atan2(-inward[0], -inward[1]) * 180) / Math.PI;
    const wall = {
      index,
      from,
      to,
      metres,
      along,
      inward,
      outHeading: (heading + 360) % 360,
      material: room.materials.ofWall?.[String(index)] ?? room.materials.walls,
    };
    const openings = room.openings.filter((o) => o.wall === index).map((o) => openingIn(o, wall));
    return { ...wall, openings };
  });
}
