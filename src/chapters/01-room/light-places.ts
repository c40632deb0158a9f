import { materialOf } from "#science/acoustics/materials";
import { signedArea } from "#science/geometry/polygon";
import { along, directionOf, minus, unit, type Vector3 } from "#science/geometry/vector3";
import { lumensPerCandela } from "#science/light/beam";
import { bouncedLux } from "#science/light/bounce";
import type { DaylightLux } from "#science/light/daylight";
import { polygonFactor } from "#science/light/polygon-light";
import { rectangleLampLux } from "#science/light/rectangle-lamp";
import type { Scene, SceneLight, SceneOpening } from "./scene.ts";
import { firstHit, isClear, openingAt, rayToWall } from "./scene-rays.ts";

/** A small surface on which light is asked for. */
export interface LitPlace {
  readonly at: Vector3;
  /** Which way it faces, length 1. */
  readonly normal: Vector3;
}

/** The sun as it stands over the room, and what the day gives. */
export interface Daylight {
  readonly outside: DaylightLux;
  readonly overcast: boolean;
  /** Towards the sun, length 1; null: under the horizon. */
  readonly toSun: Vector3 | null;
}

/** How far round from the face's own heading a cheek looks, degrees. Common practice: a cheek is a surface at 45°. */
const cheekTurn = 45;
/** Ground outside gives back this share. Common practice. */
const groundReflectance = 0.2;

/** Small surfaces of the sitter: the face, both cheeks, the hair (up and back). */
export function placesOf(scene: Scene): Record<"face" | "left" | "right" | "hair", LitPlace> {
  const { sitter } = scene;
  const heading = sitter.headHeading;
  const back = directionOf(heading + 180);
  return {
    face: { at: sitter.eyes, normal: directionOf(heading) },
    left: { at: sitter.leftCheek, normal: directionOf(heading - cheekTurn) },
    right: { at: sitter.rightCheek, normal: directionOf(heading + cheekTurn) },
    hair: { at: sitter.crown, normal: unit([back[0], back[1], 1]) },
  };
}

/** What stands behind the sitter on the line from a camera: the point and the way its surface faces. */
export function backgroundOf(scene: Scene, cameraIndex = 0): (LitPlace & { what: string }) | null {
  const camera = scene.cameras[cameraIndex];
  if (!camera) return null;
  const way = unit(minus(scene.sitter.eyes, camera.point));
  // From behind the head on, so that the sitter is not what is met.
  const hit = firstHit(scene, along(scene.sitter.head, way, 0.15), way);
  if (!hit) return null;
  const facing: Vector3 = hit.wall
    ? [hit.wall.inward[0], hit.wall.inward[1], 0]
    : hit.kind === "floor"
      ? [0, 0, 1]
      : hit.kind === "ceiling"
        ? [0, 0, -1]
        : unit([-way[0], -way[1], 0]);
  const box = scene.furniture.find((f) => f.id === hit.furniture);
  const what = box?.name ?? (hit.opening ? (hit.opening.said.name ?? hit.opening.said.kind) : hit.kind);
  // A touch off the surface, so that the surface itself throws no shadow on it.
  return { at: along(hit.at, facing, 0.01), normal: facing, what };
}

/** Illuminance of one placed light on a place, lux; furniture and corners of the room throw shadows. */
export function lampLux(scene: Scene, light: SceneLight, { at, normal }: LitPlace): number {
  if (light.luxAtOneMetre <= 0) return 0;
  const lux = rectangleLampLux(
    {
      point: light.point,
      direction: light.direction,
      size: light.size,
      candela: light.luxAtOneMetre,
      beamDegrees: light.beamDegrees,
    },
    at,
    normal,
  );
  return lux > 0.01 && !isClear(scene, light.point, at) ? 0 : lux;
}

/** Illuminance of a window's sky and ground on a place, lux. The part over the place's own height shows sky. */
export function windowLux(
  scene: Scene,
  opening: SceneOpening,
  { at, normal }: LitPlace,
  day: Daylight,
): number {
  if (opening.passes <= 0 || day.outside.sky + day.outside.sun <= 0) return 0;
  const split = Math.max(opening.sill, Math.min(opening.head, at[2]));
  const [a, b, c, d] = opening.corners;
  const level = (p: Vector3): Vector3 => [p[0], p[1], split];
  let lux = 0;
  if (split < opening.head) {
    const factor = polygonFactor([level(a), level(b), c, d], at, normal);
    lux += factor * skyRadiance(opening, at, day);
  }
  if (split > opening.sill) {
    const factor = polygonFactor([a, b, level(b), level(a)], at, normal);
    const high = day.toSun ? Math.max(0, day.toSun[2]) : 0;
    lux += factor * groundReflectance * (day.outside.sky + day.outside.sun * high);
  }
  return lux <= 0.01 || !isClear(scene, at, inside(scene, opening)) ? 0 : lux * opening.passes;
}

/** A point just inside the room in front of an opening. */
function inside(scene: Scene, opening: SceneOpening): Vector3 {
  const { inward } = scene.walls[opening.wall]!;
  return along(opening.middle, [inward[0], inward[1], 0], 0.02);
}

/** π times the luminance of the sky in the direction of an opening. */
function skyRadiance(opening: SceneOpening, at: Vector3, day: Daylight): number {
  if (!day.overcast) return day.outside.sky;
  // CIE overcast sky: zenith three times the horizon, (1 + 2 sin γ)/3; level ground has 7/9 of π times the zenith's.
  const way = unit([
    opening.middle[0] - at[0],
    opening.middle[1] - at[1],
    Math.max(opening.middle[2], (at[2] + opening.head) / 2) - at[2],
  ]);
  return (day.outside.sky * (9 / 7) * (1 + 2 * Math.max(0, way[2]))) / 3;
}

/** Whether a ray goes to an opening at all, whatever stands in its way: cheap, and most rays do not. */
function meetsOpening(scene: Scene, at: Vector3, way: Vector3): boolean {
  for (const wall of scene.walls) {
    if (wall.openings.length === 0) continue;
    const metres = rayToWall(wall, at, way);
    if (metres < Number.POSITIVE_INFINITY && openingAt(wall, along(at, way, metres))) return true;
  }
  return false;
}

/** The opening through which the sun meets a point; null: it does not. */
export function sunThrough(scene: Scene, at: Vector3, toSun: Vector3): SceneOpening | null {
  if (toSun[2] <= 0 || !meetsOpening(scene, at, toSun)) return null;
  const hit = firstHit(scene, at, toSun);
  return hit?.opening && hit.opening.passes > 0 ? hit.opening : null;
}

/** Illuminance of the sun itself on a place, lux, and the opening that it comes through. */
export function sunLux(
  scene: Scene,
  { at, normal }: LitPlace,
  day: Daylight,
): { lux: number; through: SceneOpening } | null {
  if (!day.toSun || day.outside.sun <= 0) return null;
  const facing = normal[0] * day.toSun[0] + normal[1] * day.toSun[1] + normal[2] * day.toSun[2];
  if (facing <= 0) return null;
  const through = sunThrough(scene, at, day.toSun);
  return through ? { lux: day.outside.sun * facing * through.passes, through } : null;
}

const reflectanceOf = (id: string): number => materialOf(id)?.reflects ?? 0.3;

/** All surfaces of a room, square metres, and their mean reflectance for light. */
export function roomSurfaces(scene: Scene): { area: number; reflectance: number } {
  const { room } = scene;
  const floor = Math.abs(signedArea(room.outline));
  let area = 2 * floor;
  let thrown = floor * (reflectanceOf(room.materials.floor) + reflectanceOf(room.materials.ceiling));
  for (const wall of scene.walls) {
    let solid = wall.metres * room.height;
    area += solid;
    for (const o of wall.openings) {
      const hole = (o.to - o.from) * (o.head - o.sill);
      solid -= hole;
      thrown += hole * (o.said.kind === "window" ? 0.1 : o.said.kind === "door" && !o.said.open ? 0.3 : 0);
    }
    thrown += Math.max(0, solid) * reflectanceOf(wall.material);
  }
  return { area, reflectance: thrown / area };
}

/** What the room throws back from each source, lux, everywhere alike. */
export function bounceOf(scene: Scene, day: Daylight | null): { lux: number; kelvin: number }[] {
  const { area, reflectance } = roomSurfaces(scene);
  const floor = reflectanceOf(scene.room.materials.floor);
  const parts: { lux: number; kelvin: number }[] = [];
  for (const light of scene.lights)
    parts.push({
      lux: bouncedLux(light.luxAtOneMetre * lumensOf(light.beamDegrees), area, reflectance),
      kelvin: light.kelvin,
    });
  if (day)
    for (const wall of scene.walls)
      for (const o of wall.openings) {
        if (o.passes <= 0) continue;
        const hole = (o.to - o.from) * (o.head - o.sill) * o.passes;
        const high = day.toSun ? Math.max(0, day.toSun[2]) : 0;
        // An upright opening sees half of the sky and half of the ground.
        const skyPart = 0.5 * day.outside.sky;
        const groundPart = 0.5 * groundReflectance * (day.outside.sky + day.outside.sun * high);
        parts.push({
          lux: bouncedLux(hole * (skyPart + groundPart), area, reflectance),
          kelvin: day.outside.skyKelvin,
        });
        const { toSun } = day;
        const { inward } = wall;
        const into = toSun ? -(toSun[0] * inward[0] + toSun[1] * inward[1]) : 0;
        if (into > 0 && day.outside.sun > 0)
          parts.push({
            lux: bouncedLux(hole * into * day.outside.sun, area, reflectance, floor),
            kelvin: day.outside.sunKelvin,
          });
      }
  return parts;
}

const lumensKnown = new Map<number, number>();
function lumensOf(beamDegrees: number): number {
  let known = lumensKnown.get(beamDegrees);
  if (known === undefined) {
    known = lumensPerCandela(beamDegrees);
    if (lumensKnown.size > 500) lumensKnown.clear();
    lumensKnown.set(beamDegrees, known);
  }
  return known;
}
