import type { RoomCamera } from "#documents/room-result";
import { boxCorners } from "#science/geometry/box";
import {
  along,
  cross,
  directionOf,
  dot,
  headingOf,
  minus,
  tiltOf,
  turnBetween,
  unit,
  type Vector3,
} from "#science/geometry/vector3";
import { clipToFrame } from "#science/optics/clip-to-frame";
import { type PinHole, placeInFrame } from "#science/optics/pin-hole";
import { clipToSide } from "#science/sun/sun-patch";
import { lightName, openingName } from "./geometry-things.ts";
import type { Scene } from "./scene.ts";
import { isClear } from "./scene-rays.ts";
import { theThing } from "./thing-words.ts";

/** A flat upright pane: a window's glass or a glossy front. */
interface Pane {
  readonly id: string;
  readonly corners: readonly Vector3[];
  /** Away from the pane, into the room, length 1. */
  readonly normal: Vector3;
}

function panesOf(scene: Scene): Pane[] {
  const panes: Pane[] = [];
  for (const wall of scene.walls)
    for (const opening of wall.openings)
      if (opening.said.kind === "window" && opening.said.covered < 1)
        panes.push({
          id: opening.said.id,
          corners: opening.corners,
          normal: [wall.inward[0], wall.inward[1], 0],
        });
  for (const box of scene.furniture) {
    if (!box.glossy) continue;
    const c = boxCorners(box);
    const middle: Vector3 = [box.at[0], box.at[1], box.base + box.size[2] / 2];
    for (let i = 0; i < 4; i++) {
      const corners = [c[i]!, c[(i + 1) % 4]!, c[((i + 1) % 4) + 4]!, c[i + 4]!];
      const [dx, dy] = [corners[1]![0] - corners[0]![0], corners[1]![1] - corners[0]![1]];
      const k = 1 / Math.max(1e-9, Math.hypot(dx, dy));
      const out = dot([dy, -dx, 0], minus(corners[0]!, middle)) > 0 ? k : -k;
      panes.push({ id: box.id, corners, normal: [dy * out, -dx * out, 0] });
    }
  }
  return panes;
}

/** Something that glass may mirror: a flat shape, a loop of corners with its middle. */
interface Mirrored {
  readonly id: string;
  readonly name: string;
  readonly middle: Vector3;
  readonly corners: readonly Vector3[];
}

/** A camera with its hood and screen, and a person's head and shoulders, as broad and as high; metres. Common practice. */
const [cameraSize, bust] = [0.22, [0.42, 0.6]] as const;

/** @param seer - The camera that looks, by its id, where it is on its way. */
function mirroredThings(scene: Scene, seer: PinHole, id: string): Mirrored[] {
  const facing = (at: Vector3, way: Vector3, width: number, height: number): Vector3[] => {
    const level = Math.hypot(way[0], way[1]);
    const right: Vector3 = level > 1e-6 ? [way[1] / level, -way[0] / level, 0] : [1, 0, 0];
    const up = cross(right, way);
    return corners4.map(([s, t]) => along(along(at, right, (s * width) / 2), up, (t * height) / 2));
  };
  const { interviewer } = scene;
  const chest: Vector3 = [interviewer.head[0], interviewer.head[1], interviewer.head[2] - 0.12];
  return [
    ...scene.lights.map((l) => ({
      id: l.id,
      name: lightName(l),
      middle: l.point,
      corners: facing(l.point, l.direction, l.size[0], l.size[1]),
    })),
    ...scene.cameras.map((c) => {
      const { point, forward } = c.id === id ? seer : c;
      return {
        id: c.id,
        name: `camera ${c.id}`,
        middle: point,
        corners: facing(point, forward, cameraSize, cameraSize),
      };
    }),
    {
      id: "interviewer",
      name: "the interviewer",
      middle: interviewer.head,
      corners: facing(chest, directionOf(interviewer.headHeading), bust[0], bust[1]),
    },
  ];
}

const corners4 = [
  [-1, -1],
  [1, -1],
  [1, 1],
  [-1, 1],
] as const;

/**
 * What a camera sees mirrored in glass: each light, other camera, itself and the interviewer over their whole extent and the whole
 * pane, by the law of reflection; and each light in the sitter's glasses.
 *
 * @param id - The camera's own.
 * @returns One entry a pane and thing, with the middle of what shows of it in the frame.
 */
export function reflectionsIn(scene: Scene, camera: PinHole, id: string): RoomCamera["reflections"] {
  const found: RoomCamera["reflections"] = glassesGlare(scene, camera, id);
  // Most frames hold no glass at all.
  const panes = panesOf(scene).filter((pane) => clipToFrame(camera, pane.corners) !== null);
  if (panes.length === 0) return found;
  const things = mirroredThings(scene, camera, id);
  for (const pane of panes) {
    const corner = pane.corners[0]!;
    const eye = dot(minus(camera.point, corner), pane.normal);
    if (eye <= 0) continue;
    for (const thing of things) {
      const spot = spotOnPane(pane, camera.point, eye, thing);
      const seen = spot && clipToFrame(camera, spot);
      if (!seen) continue;
      const place = placeInFrame(camera, seen.middle);
      if (!place) continue;
      const before = along(seen.middle, pane.normal, 0.01);
      if (!isClear(scene, camera.point, before)) continue;
      if (thing.id !== id && !isClear(scene, thing.middle, before)) continue;
      found.push({ in: pane.id, of: thing.id, name: thing.name, at: [place.x, place.y] });
    }
  }
  return found;
}

/** Where on a pane an eye sees a thing mirrored: its mirror image seen through the pane, cut to it; null: nowhere. */
function spotOnPane(pane: Pane, from: Vector3, eye: number, thing: Mirrored): Vector3[] | null {
  const [a, b, c] = pane.corners as readonly [Vector3, Vector3, Vector3];
  const breadth = Math.hypot(b[0] - a[0], b[1] - a[1]);
  const way: readonly [number, number] = [(b[0] - a[0]) / breadth, (b[1] - a[1]) / breadth];
  let loop: [number, number][] = [];
  for (const at of thing.corners) {
    const height = dot(minus(at, a), pane.normal);
    // A thing that stands through the pane's own plane is not mirrored in it.
    if (height <= 0) return null;
    const to = minus(along(at, pane.normal, -2 * height), from);
    const hit = along(from, to, eye / (eye + height));
    loop.push([(hit[0] - a[0]) * way[0] + (hit[1] - a[1]) * way[1], hit[2]]);
  }
  for (const [from2, inward] of [
    [
      [0, 0],
      [1, 0],
    ],
    [
      [breadth, 0],
      [-1, 0],
    ],
    [
      [0, a[2]],
      [0, 1],
    ],
    [
      [0, c[2]],
      [0, -1],
    ],
  ] as const)
    loop = clipToSide(loop, from2, inward);
  return loop.length < 3 ? null : loop.map(([s, z]): Vector3 => [a[0] + way[0] * s, a[1] + way[1] * s, z]);
}

/** A pair of glasses: radius of the front surface for a base curve of 5 dioptres at n = 1.53; half a lens across and up; metres. From memory. */
const [glassRadius, halfAcross, halfUp] = [0.106, 0.025, 0.019];
/** They lean forward at the top, degrees (pantoscopic tilt as opticians fit it; from memory). */
const glassesTilt = 8;

/**
 * Lights that a camera sees in the glasses of a sitter who wears some: where the surface that would mirror one into the lens (halfway
 * between the two directions) lies on the curved glass, looked for over the light's whole extent.
 */
function glassesGlare(scene: Scene, camera: PinHole, id: string): RoomCamera["reflections"] {
  const { sitter } = scene;
  const place = sitter.said.glasses ? placeInFrame(camera, sitter.eyes) : null;
  if (!place || place.x < 0 || place.x > 1 || place.y < 0 || place.y > 1) return [];
  const toLens = unit(minus(camera.point, sitter.eyes));
  const degrees = (half: number): number => (Math.asin(half / glassRadius) * 180) / Math.PI;
  const [across, up] = [degrees(halfAcross), degrees(halfUp)];
  return mirroredThings(scene, camera, id)
    .filter((thing) => scene.lights.some((l) => l.id === thing.id && l.luxAtOneMetre > 0))
    .filter((thing) => {
      const between = [thing.middle, ...thing.corners].map((at) => {
        const toLight = unit(minus(at, sitter.eyes));
        const half = unit([toLens[0] + toLight[0], toLens[1] + toLight[1], toLens[2] + toLight[2]]);
        return [turnBetween(sitter.headHeading, headingOf(half)), tiltOf(half) + glassesTilt] as const;
      });
      // The light's extent as a span of angles: one that reaches across the glass counts too.
      const spans = (k: 0 | 1, most: number): boolean =>
        Math.min(...between.map((b) => b[k])) <= most && Math.max(...between.map((b) => b[k])) >= -most;
      return spans(0, across) && spans(1, up) && isClear(scene, thing.middle, sitter.eyes);
    })
    .map((thing) => ({ in: "glasses", of: thing.id, name: thing.name, at: [place.x, place.y] }));
}

/** Words for a pane. */
export const paneName = (scene: Scene, id: string): string =>
  id === "glasses"
    ? "the sitter's glasses"
    : theThing(scene.furniture.find((f) => f.id === id)?.name ?? openingName(scene, id));
