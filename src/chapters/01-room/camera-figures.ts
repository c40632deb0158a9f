import type { RoomCamera } from "#documents/room-result";
import { angleBetween, headingOf, minus, tiltOf, turnBetween, unit } from "#science/geometry/vector3";
import {
  blurDiscMm,
  circleOfConfusionMm,
  depthOfFieldMm,
  hyperfocalMm,
} from "#science/optics/depth-of-field";
import { fieldOfView } from "#science/optics/field-of-view";
import { noseToEar } from "#science/optics/perspective";
import { placeInFrame } from "#science/optics/pin-hole";
import { finestPatternMm, readoutLeanPixels } from "#science/optics/readout";
import { shotFrame, shotOfHeight } from "#science/optics/shot-size";
import { headMetres } from "#science/people/body-points";
import { shadowSideTo } from "./camera-key.ts";
import { reflectionsOnTheWay, seenOnTheWay } from "./camera-poses.ts";
import { clearancesOf } from "./geometry-intrusions.ts";
import { sideOfLine } from "./geometry-line.ts";
import type { Thing } from "./geometry-things.ts";
import type { Scene, SceneCamera } from "./scene.ts";
import { firstHit, isClear } from "./scene-rays.ts";

/** Everything that one lens makes of the plan. */
export function cameraFigures(scene: Scene, camera: SceneCamera, things: readonly Thing[]): RoomCamera {
  const { sitter } = scene;
  const seen = seenOnTheWay(scene, camera, things);
  const toLens = minus(camera.point, sitter.eyes);
  const sideways = turnBetween(headingOf(toLens), headingOf(sitter.gaze));
  return {
    id: camera.id,
    focalMm: camera.focalMm,
    stop: camera.stop,
    pan: ((camera.pan % 360) + 360) % 360,
    tilt: camera.tilt,
    point: [...camera.point],
    fieldOfView: fieldOfView(camera.sensorMm, camera.breathedFocalMm, camera.squeeze),
    sitterMetres: camera.sitterDistance,
    frame: {
      width: 2 * camera.sitterDepth * camera.tanHalfWidth,
      height: 2 * camera.sitterDepth * camera.tanHalfHeight,
    },
    shot: shotFigures(scene, camera, sideways),
    focus: focusFigures(scene, camera),
    ...blurFigures(scene, camera, seen),
    noseToEar: noseToEar(camera.sitterDistance),
    eyeline: {
      degrees: angleBetween(sitter.gaze, toLens),
      sideways,
      up: tiltOf(sitter.gaze) - tiltOf(toLens),
    },
    side: sideOfLine(scene, camera.point),
    shadowSide: shadowSideTo(scene, camera),
    seesSitter: camera.sitterDepth > 0 && isClear(scene, camera.point, sitter.eyes),
    seen,
    clears: clearancesOf(scene, camera),
    reflections: reflectionsOnTheWay(scene, camera),
    readout: {
      finestPatternMm: finestPatternMm(2 * camera.sitterDepth * camera.tanHalfWidth, camera.pixels[0]),
      leanPixels:
        camera.body.readoutMilliseconds === undefined
          ? null
          : readoutLeanPixels(camera.pixels[0], camera.body.readoutMilliseconds),
    },
  };
}

function shotFigures(scene: Scene, camera: SceneCamera, sideways: number): RoomCamera["shot"] {
  const { sitter } = scene;
  const height = 2 * camera.sitterDepth * camera.tanHalfHeight;
  const eyes = placeInFrame(camera, sitter.eyes) ?? { x: 0.5, y: 0.5 };
  const crown = placeInFrame(camera, sitter.crown);
  const wished = shotFrame(camera.said.shot, sitter.stature, sitter.seatHeight);
  const { shot, ratio } = shotOfHeight(Math.max(0.01, height), sitter.stature, sitter.seatHeight);
  return {
    wished: camera.said.shot,
    is: shot,
    ratio,
    headroom: crown?.y ?? 0,
    eyes: { x: eyes.x, y: eyes.y },
    lookRoom: sideways > 0 ? eyes.x : 1 - eyes.x,
    wishedMetres: wished.height / (2 * camera.tanHalfHeight),
    wishedFocalMm: (camera.sensorMm[1] * camera.sitterDepth) / wished.height,
  };
}

/** Metres of a length in millimetres; null for one without end. */
const metresOrNone = (mm: number): number | null => (Number.isFinite(mm) ? mm / 1000 : null);

function focusFigures(scene: Scene, camera: SceneCamera): RoomCamera["focus"] {
  const { focalMm, stop } = camera;
  const rule = scene.plan.confusion;
  const confusionMm = circleOfConfusionMm(rule, camera.sensorMm, camera.pixels[0]);
  const focusMm = Math.max(camera.focus * 1000, focalMm * 1.05);
  const { near, far } = depthOfFieldMm(focalMm, stop, confusionMm, focusMm);
  const nose = camera.sitterDepth - (headMetres.noseToEar - headMetres.eyesForward);
  return {
    metres: focusMm / 1000,
    near: near / 1000,
    far: metresOrNone(far),
    hyperfocal: hyperfocalMm(focalMm, stop, confusionMm) / 1000,
    confusionMm,
    confusionBy: rule,
    faceIsSharp: near / 1000 <= nose && far / 1000 >= nose + headMetres.noseToEar,
  };
}

function blurFigures(
  scene: Scene,
  camera: SceneCamera,
  seen: RoomCamera["seen"],
): Pick<RoomCamera, "blur" | "behind"> {
  const focusMm = Math.max(camera.focus * 1000, camera.focalMm * 1.05);
  const disc = (metres: number): number =>
    blurDiscMm(camera.focalMm, camera.stop, focusMm, Math.max(metres * 1000, 1));
  const share = (metres: number): number => disc(metres) / camera.sensorMm[1];
  // The ray past the sitter's ear, on into the room.
  const way = unit(minus(scene.sitter.eyes, camera.point));
  const hit = firstHit(scene, scene.sitter.head, way);
  const furniture = scene.furniture.find((f) => f.id === hit?.furniture);
  const what =
    furniture?.name ?? (hit?.kind === "opening" ? (hit.opening?.said.kind ?? "wall") : (hit?.kind ?? "wall"));
  const metres = camera.sitterDistance + (hit?.metres ?? 0);
  const behind = seen
    .filter((thing) => thing.kind === "furniture" && thing.metres > camera.sitterDistance)
    .map((thing) => ({ id: thing.id, name: thing.name, metres: thing.metres }));
  const wall = firstHit(scene, camera.point, camera.forward, false);
  if (wall)
    behind.push({
      id: `wall-${wall.wall?.index ?? ""}`,
      name: wall.kind === "opening" ? (wall.opening?.said.kind ?? "wall") : wall.kind,
      metres: wall.metres,
    });
  return {
    blur: { what, metres, discMm: disc(metres), share: share(metres) },
    behind: behind.sort((a, b) => a.metres - b.metres).map((b) => ({ ...b, share: share(b.metres) })),
  };
}
