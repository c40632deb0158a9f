import type { RoomPair, SeenThing } from "#documents/room-result";
import { distanceToOutline } from "#science/geometry/polygon";
import {
  along,
  angleBetween,
  directionOf,
  dot,
  headingOf,
  lengthOf,
  minus,
  tiltOf,
  turnBetween,
  unit,
  type Vector3,
} from "#science/geometry/vector3";
import { polygonFactor } from "#science/light/polygon-light";
import { blurDiscMm } from "#science/optics/depth-of-field";
import { placeInFrame } from "#science/optics/pin-hole";
import { keyOf } from "./camera-key.ts";
import { pairFigures } from "./geometry-figures.ts";
import { seenBy } from "./geometry-intrusions.ts";
import { type Thing, thingsOf } from "./geometry-things.ts";
import { backgroundOf, bounceOf, lampLux, placesOf, sunLux, sunThrough, windowLux } from "./light-places.ts";
import { type Ground, sunStep } from "./propose-ground.ts";
import type { Scene, SceneCamera, SceneLight } from "./scene.ts";
import { firstHit, isClear, openingAt, rayToWall } from "./scene-rays.ts";

/** One camera as the soft rules see it. */
export interface CameraLook {
  readonly camera: SceneCamera;
  /** Around the sitter from the gaze, clockwise above 0, degrees. */
  readonly turn: number;
  /** Between gaze and lens, all told. */
  readonly eyeline: number;
  /** From the sitter's head to what is behind it, as this lens sees it, metres. */
  readonly behind: number;
  /** Disc of a point there, share of the frame's height. */
  readonly blur: number;
  readonly crown: number;
}

/** What a staging's soft rules are judged by, each figure as the plan's own figures have it. */
export interface Look {
  readonly scene: Scene;
  readonly ground: Ground;
  readonly cameras: readonly CameraLook[];
  /** 1: the cameras are clockwise of the gaze; -1: the other way. */
  readonly side: 1 | -1;
  /** The first two cameras. */
  readonly pair: RoomPair | null;
  readonly talk: number;
  readonly toWall: number;
  /** The light that models the face: a lamp, else the window that gives it most. */
  readonly key: {
    readonly id: string;
    readonly away: number;
    readonly up: number;
    readonly isLamp: boolean;
  } | null;
  /** Of the windows, the one that gives the face most: which way from the gaze (away from the cameras above 0), and how much. */
  readonly window: { readonly id: string; readonly away: number; readonly factor: number } | null;
  /** What may come into a frame; worked out when it is first asked for. */
  readonly things: () => readonly Thing[];
  /** The better lit and the darker cheek; worked out when it is first asked for. */
  readonly cheeks: () => Cheeks;
}

/** Degrees between the gaze's heading and that of a way, signed so that above 0 is the side away from the cameras. */
export const awayFrom = (look: { side: 1 | -1; gaze: number }, way: Vector3): number =>
  -look.side * turnBetween(look.gaze, headingOf(way));

/** Light on the two cheeks, lux. */
export interface Cheeks {
  readonly lit: number;
  readonly shadow: number;
}

/** Looks at a staging. */
export function lookAt(scene: Scene, ground: Ground): Look {
  const { sitter, interviewer } = scene;
  const gaze = headingOf(sitter.gaze);
  const cameras = scene.cameras.map((camera): CameraLook => {
    const toLens = minus(camera.point, sitter.eyes);
    const away = unit([-toLens[0], -toLens[1], -toLens[2]]);
    const behind = firstHit(scene, sitter.head, away)?.metres ?? 0;
    const focusMm = Math.max(camera.focus * 1000, camera.focalMm * 1.05);
    const disc = blurDiscMm(camera.focalMm, camera.stop, focusMm, (camera.sitterDistance + behind) * 1000);
    return {
      camera,
      turn: turnBetween(gaze, headingOf(minus(camera.point, sitter.head))),
      eyeline: angleBetween(sitter.gaze, toLens),
      behind,
      blur: disc / camera.sensorMm[1],
      crown: placeInFrame(camera, sitter.crown)?.y ?? 0,
    };
  });
  const sum = cameras.reduce((all, c) => all + Math.sign(c.turn), 0);
  const side = sum >= 0 ? 1 : -1;
  const window = windowOf(scene, ground, { side, gaze });
  let cheeks: Cheeks | undefined;
  let things: readonly Thing[] | undefined;
  return {
    scene,
    ground,
    cameras,
    side,
    pair: pairFigures(scene)[0] ?? null,
    talk: lengthOf(minus(sitter.eyes, interviewer.eyes)),
    toWall: distanceToOutline(scene.room.outline, sitter.head[0], sitter.head[1]),
    key: keyLook(scene, keyOf(scene), window, { side, gaze }),
    window,
    things: () => {
      things ??= thingsOf(scene);
      return things;
    },
    cheeks: () => {
      cheeks ??= cheeksOf(scene, ground);
      return cheeks;
    },
  };
}

function windowOf(scene: Scene, ground: Ground, look: { side: 1 | -1; gaze: number }): Look["window"] {
  if (!ground.hasWindow) return null;
  const { eyes, head } = scene.sitter;
  let best: Look["window"] = null;
  for (const wall of scene.walls)
    for (const opening of wall.openings) {
      if (opening.said.kind !== "window" || opening.passes <= 0) continue;
      const way = minus(opening.middle, eyes);
      const factor = polygonFactor(opening.corners, eyes, unit(way)) * opening.passes;
      if (factor < 0.002 || (best && factor <= best.factor)) continue;
      const inside: Vector3 = [
        opening.middle[0] + wall.inward[0] * 0.02,
        opening.middle[1] + wall.inward[1] * 0.02,
        opening.middle[2],
      ];
      if (!isClear(scene, eyes, inside)) continue;
      best = { id: opening.said.id, away: awayFrom(look, minus(opening.middle, head)), factor };
    }
  return best;
}

function keyLook(
  scene: Scene,
  lamp: SceneLight | undefined,
  window: Look["window"],
  look: { side: 1 | -1; gaze: number },
): Look["key"] {
  if (lamp)
    return {
      id: lamp.id,
      away: awayFrom(look, minus(lamp.point, scene.sitter.head)),
      up: tiltOf(minus(lamp.point, scene.sitter.eyes)),
      isLamp: true,
    };
  const opening = window && scene.walls.flatMap((w) => w.openings).find((o) => o.said.id === window.id);
  return opening
    ? {
        id: window.id,
        away: window.away,
        up: tiltOf(minus(opening.middle, scene.sitter.eyes)),
        isLamp: false,
      }
    : null;
}

/** The light on the cheeks as the plan's light figures have it: lamps, windows, sun at the middle of the hours, what the room throws back. */
function cheeksOf(scene: Scene, ground: Ground): Cheeks {
  const { left, right } = placesOf(scene);
  const day = ground.daylight;
  let back = 0;
  for (const { lux } of bounceOf(scene, day)) back += lux;
  let [l, r] = [back, back];
  for (const light of scene.lights) {
    l += lampLux(scene, light, left);
    r += lampLux(scene, light, right);
  }
  if (day) {
    for (const wall of scene.walls)
      for (const opening of wall.openings)
        if (opening.passes > 0) {
          l += windowLux(scene, opening, left, day);
          r += windowLux(scene, opening, right, day);
        }
    l += sunLux(scene, left, day)?.lux ?? 0;
    r += sunLux(scene, right, day)?.lux ?? 0;
  }
  return { lit: Math.max(l, r), shadow: Math.min(l, r) };
}

/** Stops between the lit and the darker cheek; null: no light at all. */
export function keyToFillOf(look: Look): number | null {
  const { lit, shadow } = look.cheeks();
  return shadow > 0.01 ? Math.log2(lit / shadow) : null;
}

/** Minutes of the shoot in which the sun stands on the sitter's eyes and, at most, in a lens and on what a lens sees behind. */
export function sunMinutes(look: Look): { sitter: number; lens: number; background: number } {
  const { scene, ground } = look;
  let sitter = 0;
  for (const toSun of ground.suns) if (isSunlit(look, scene.sitter.eyes, toSun)) sitter += sunStep;
  let [lens, background] = [0, 0];
  for (const [k, { point, forward }] of scene.cameras.entries()) {
    const spot = backgroundOf(scene, k)?.at;
    let [into, behind] = [0, 0];
    for (const toSun of ground.suns) {
      if (dot(toSun, forward) > 0 && isSunlit(look, point, toSun)) into += sunStep;
      if (spot && isSunlit(look, spot, toSun)) behind += sunStep;
    }
    lens = Math.max(lens, into);
    background = Math.max(background, behind);
  }
  return { sitter, lens, background };
}

/** Whether the sun meets a point: asked of the openings first, of furniture and walls only where one lies in the way. */
function isSunlit({ scene }: Look, at: Vector3, toSun: Vector3): boolean {
  for (const wall of scene.walls) {
    if (wall.openings.length === 0) continue;
    const metres = rayToWall(wall, at, toSun);
    if (!Number.isFinite(metres)) continue;
    const opening = openingAt(wall, along(at, toSun, metres));
    if (opening && opening.passes > 0) return sunThrough(scene, at, toSun) !== null;
  }
  return false;
}

/** Share of each frame that some of the room's things cover, as the plan's figures have it: one entry a camera. */
export function framed(look: Look, things: readonly Thing[]): SeenThing[][] {
  return look.cameras.map(({ camera }) => seenBy(look.scene, camera, camera.id, things));
}

/** Degrees between where the sitter's mouth points and a microphone. */
export const offMouth = (scene: Scene, point: Vector3): number =>
  angleBetween(directionOf(scene.sitter.headHeading), minus(point, scene.sitter.mouth));
