import type { Plan } from "#documents/plan";
import type { SunFigures } from "#documents/room-light-result";
import { signedArea } from "#science/geometry/polygon";
import { dot, type Vector3 } from "#science/geometry/vector3";
import { clockOfMinutes, isZoneKnown } from "#science/sun/local-time";
import { clipToSide, patchOnLevel, patchOnWall } from "#science/sun/sun-patch";
import { type SunPosition, sunDirection } from "#science/sun/sun-position";
import { backgroundOf, sunThrough } from "./light-places.ts";
import type { Scene, SceneOpening } from "./scene.ts";
import { dayOf, hoursOf } from "./sun-daylight.ts";

/** The sun through one opening. */
export interface SunPatch {
  readonly opening: string;
  /** Corners on the floor, a loop within the room. */
  readonly floor: readonly (readonly [number, number])[];
  /** The same at the height of a seated sitter's eyes. */
  readonly atEyes: readonly (readonly [number, number])[];
  readonly area: number;
  /** On walls: metres along each from its first corner, and up. */
  readonly walls: readonly {
    readonly wall: number;
    readonly corners: readonly (readonly [number, number])[];
    readonly area: number;
  }[];
}

/** The sun and where it lands at one minute; null where place, hours or zone are not known. */
export function sunPatch(
  plan: Plan,
  scene: Scene,
  minuteOfDay: number,
): { sun: SunPosition; patches: SunPatch[] } | null {
  const day = dayOf(plan);
  if (!day) return null;
  const sun = day.at(minuteOfDay);
  return { sun, patches: sun.altitude > 0 ? patchesOf(scene, sunDirection(sun, plan.room.bearing)) : [] };
}

/** Patches of a sun in a direction. The walls that a patch would run through cut it, where they are convex. */
function patchesOf(scene: Scene, toSun: Vector3): SunPatch[] {
  const patches: SunPatch[] = [];
  for (const wall of scene.walls) {
    // From outside in: the sun stands on the far side of the wall.
    if (toSun[0] * wall.inward[0] + toSun[1] * wall.inward[1] >= -1e-9) continue;
    for (const opening of wall.openings) {
      if (opening.passes <= 0) continue;
      const floor = withinRoom(scene, patchOnLevel(opening.corners, toSun, 0), wall.index);
      const eyes = patchOnLevel(opening.corners, toSun, scene.sitter.eyes[2]);
      const atEyes = withinRoom(scene, eyes, wall.index);
      const area = floor.length > 2 ? Math.abs(signedArea(floor)) : 0;
      const walls = onWalls(scene, opening, toSun);
      if (area > least || atEyes.length > 2 || walls.length > 0)
        patches.push({ opening: opening.said.id, floor, atEyes, area, walls });
    }
  }
  return patches;
}

/** Patches smaller than this are not told, square metres. */
const least = 1e-4;

/** What an opening's sun throws on each wall that can be seen from it. */
function onWalls(scene: Scene, opening: SceneOpening, toSun: Vector3): SunPatch["walls"] {
  return scene.walls.flatMap((wall) => {
    if (wall.index === opening.wall) return [];
    let corners = patchOnWall(opening.corners, toSun, wall);
    const sides: readonly (readonly [readonly [number, number], readonly [number, number]])[] = [
      [
        [0, 0],
        [0, 1],
      ],
      [
        [0, scene.room.height],
        [0, -1],
      ],
      [
        [0, 0],
        [1, 0],
      ],
      [
        [wall.metres, 0],
        [-1, 0],
      ],
    ];
    for (const [from, inward] of sides) corners = clipToSide(corners, from, inward);
    const area = corners.length > 2 ? Math.abs(signedArea(corners)) : 0;
    if (area <= least) return [];
    // A corner of the room may stand between: then the patch's own middle does not see the sun.
    const [s, z] = [0, 1].map((axis) => corners.reduce((sum, c) => sum + c[axis]!, 0) / corners.length);
    const middle: Vector3 = [
      wall.from[0] + wall.along[0] * s! + wall.inward[0] * 1e-3,
      wall.from[1] + wall.along[1] * s! + wall.inward[1] * 1e-3,
      z!,
    ];
    return sunThrough(scene, middle, toSun) ? [{ wall: wall.index, corners, area }] : [];
  });
}

/** The part of a patch on this side of the walls that face its window's room; a room with corners that jut in is cut by those in view. */
function withinRoom(
  scene: Scene,
  polygon: readonly (readonly [number, number])[],
  through: number,
): [number, number][] {
  let kept = polygon.map(([x, y]): [number, number] => [x, y]);
  const own = scene.walls[through]!;
  const middle: [number, number] = [
    (own.from[0] + own.to[0]) / 2 + own.inward[0] * 0.01,
    (own.from[1] + own.to[1]) / 2 + own.inward[1] * 0.01,
  ];
  for (const wall of scene.walls) {
    if (kept.length === 0) break;
    const side = (middle[0] - wall.from[0]) * wall.inward[0] + (middle[1] - wall.from[1]) * wall.inward[1];
    if (side < -1e-6) continue;
    kept = clipToSide(kept, wall.from, wall.inward);
  }
  return kept;
}

type Reach = SunFigures["reaches"][number];
interface Watched {
  readonly on: Reach["on"];
  readonly id: string | null;
  readonly at: Vector3;
  /** A direction that must see the sun too, within this many degrees: a lens. */
  readonly facing?: Vector3;
}

/** A lens flares when the sun strikes its glass from in front. */
const lensSeesFrom = 0.2;

/** Sun of a plan's day: where it comes in, what it meets and when. */
export function sunFigures(plan: Plan, scene: Scene): SunFigures {
  const none = (missing: string): SunFigures => ({
    missing,
    date: plan.when?.date ?? null,
    sunrise: null,
    sunset: null,
    hours: [],
    reaches: [],
    patches: [],
  });
  if (!plan.place || !plan.when) return none("The plan does not say where and when; add place and hours.");
  if (!isZoneKnown(plan.place.zone))
    return none(`No time zone is called ${plan.place.zone}; write it like Europe/Dublin.`);
  const day = dayOf(plan)!;
  const { from, to } = hoursOf(plan)!;
  const watched = watchedOf(scene);
  const reaches: Reach[] = [];
  /** What reaches each watched place now: through which opening, and since when. */
  const open: ({ through: SceneOpening; from: number } | null)[] = watched.map(() => null);
  const turn = (index: number, through: SceneOpening | null, minute: number): void => {
    const known = open[index];
    if (known?.through === (through ?? undefined)) return;
    const { on, id } = watched[index]!;
    if (known)
      reaches.push({
        on,
        id,
        through: known.through.said.id,
        from: clockOfMinutes(known.from),
        to: clockOfMinutes(minute),
      });
    open[index] = through && { through, from: minute };
  };
  const hasOpenings = scene.walls.some((wall) => wall.openings.some((o) => o.passes > 0));
  for (let minute = from; hasOpenings && minute < to; minute++) {
    const sun = day.at(minute);
    const toSun = sun.altitude > 0 ? sunDirection(sun, plan.room.bearing) : null;
    const any = toSun !== null && comesIn(scene, toSun);
    for (let index = 0; index < watched.length; index++) {
      const { at, facing } = watched[index]!;
      const faces = any && (!facing || dot(facing, toSun) > lensSeesFrom);
      turn(index, faces ? sunThrough(scene, at, toSun) : null, minute);
    }
  }
  for (let index = 0; index < watched.length; index++) turn(index, null, to);
  const hours: SunFigures["hours"] = [];
  const patches: SunFigures["patches"] = [];
  for (let minute = Math.ceil(from / 60) * 60; minute <= to; minute += 60) {
    const sun = day.at(minute);
    const at = clockOfMinutes(minute);
    hours.push({ at, ...sun });
    if (sun.altitude > 0)
      for (const { opening, floor, area, walls } of patchesOf(scene, sunDirection(sun, plan.room.bearing)))
        patches.push({
          at,
          through: opening,
          floor: floor.map(([x, y]) => [x, y]),
          area,
          walls: walls.map((w) => ({ ...w, corners: w.corners.map(([along, up]) => [along, up]) })),
        });
  }
  return {
    missing: null,
    date: plan.when.date,
    sunrise: day.sunrise,
    sunset: day.sunset,
    hours,
    reaches,
    patches,
  };
}

/** Whether the sun stands outside any wall with an opening. */
function comesIn(scene: Scene, toSun: Vector3): boolean {
  for (const wall of scene.walls)
    if (wall.openings.length > 0 && toSun[0] * wall.inward[0] + toSun[1] * wall.inward[1] < 0) return true;
  return false;
}

function watchedOf(scene: Scene): Watched[] {
  const { sitter, interviewer } = scene;
  const list: Watched[] = [
    { on: "sitter", id: null, at: sitter.eyes },
    { on: "chair", id: null, at: [sitter.head[0], sitter.head[1], (sitter.seatHeight ?? 0) + 0.02] },
    { on: "interviewer", id: null, at: interviewer.eyes },
  ];
  for (const [index, camera] of scene.cameras.entries()) {
    list.push({ on: "lens", id: camera.id, at: camera.point, facing: camera.forward });
    const behind = backgroundOf(scene, index);
    if (behind) list.push({ on: "background", id: camera.id, at: behind.at });
  }
  return list;
}
