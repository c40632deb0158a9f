import type { Body, Lens, PlannedCamera } from "#documents/plan";
import {
  degreesOf,
  distanceBetween,
  dot,
  headingOf,
  minus,
  turnBetween,
  type Vector3,
} from "#science/geometry/vector3";
import { aimFor, type PinHole, pinHole } from "#science/optics/pin-hole";
import { shotFrame } from "#science/optics/shot-size";
import type { ScenePerson } from "./scene-person.ts";

/** A camera in the room, with what its body and lens make of its place. It is a `PinHole`: project with `placeInFrame`. */
export interface SceneCamera extends PinHole {
  readonly id: string;
  readonly said: PlannedCamera;
  readonly body: Body;
  readonly lens: Lens;
  /** Degrees: heading and tilt, as said or as framed on the sitter. */
  readonly pan: number;
  readonly tilt: number;
  /** Focal length set, mm; a zoom's that is not said gives the shot wished for. */
  readonly focalMm: number;
  /** Focal length that the angle of view has at this focus, with the lens's breathing. */
  readonly breathedFocalMm: number;
  /** Recorded area, mm. */
  readonly sensorMm: readonly [number, number];
  readonly pixels: readonly [number, number];
  /** Width to height of the picture shown: sensor times squeeze. */
  readonly aspect: number;
  readonly squeeze: number;
  /** The f-number set. */
  readonly stop: number;
  /** The plane that is sharp, metres ahead along the axis. */
  readonly focus: number;
  readonly halfWidthDegrees: number;
  readonly halfHeightDegrees: number;
  /** Sitter's eyes ahead of the lens, along the axis, metres. */
  readonly sitterDepth: number;
  /** Straight from the lens to the sitter's eyes, metres. */
  readonly sitterDistance: number;
}

/** The head stands this share of the width away from the middle, away from where the sitter looks. Common practice. */
const lookRoomShare = 0.08;
/** Full look room from this angle off the lens on, degrees. */
const lookRoomFrom = 15;

/** Where the eyes go in the frame: the shot's own height, and room on the side that the sitter looks to. */
export function eyesPlaceFor(
  shot: PlannedCamera["shot"],
  point: Vector3,
  sitter: ScenePerson,
): { x: number; y: number } {
  const toLens = headingOf(minus(point, sitter.eyes));
  // Clockwise of the lens from above is the frame's left: the sitter faces the camera.
  const off = turnBetween(toLens, headingOf(sitter.gaze));
  const looksLeft = Math.max(-1, Math.min(1, off / lookRoomFrom));
  return {
    x: 0.5 + lookRoomShare * looksLeft,
    y: shotFrame(shot, sitter.stature, sitter.seatHeight).eyes,
  };
}

/** The focal length, mm, that gives the shot at this distance, without breathing. */
function focalFor(said: PlannedCamera, body: Body, distance: number, sitter: ScenePerson): number {
  const { height } = shotFrame(said.shot, sitter.stature, sitter.seatHeight);
  return (body.sensor[1] * distance) / height;
}

/** One camera of the plan with its kit, aimed and focused as said or, where it is not said, for its shot of the sitter. */
export function sceneCamera(said: PlannedCamera, body: Body, lens: Lens, sitter: ScenePerson): SceneCamera {
  const point: Vector3 = [said.at[0], said.at[1], said.height ?? sitter.eyes[2]];
  const sitterDistance = Math.max(0.01, distanceBetween(point, sitter.eyes));
  const [shortest, longest] = lens.focal;
  const focalMm =
    said.focalLength ?? Math.max(shortest, Math.min(longest, focalFor(said, body, sitterDistance, sitter)));
  const nearEye = Math.min(distanceBetween(point, sitter.leftEye), distanceBetween(point, sitter.rightEye));
  // Breathing grows with magnification, which goes with the inverse of the distance.
  const focusGuess = Math.max(0.05, said.focus ?? nearEye);
  const wider = 1 + lens.breathing * Math.min(1, lens.closeFocus / focusGuess);
  const breathedFocalMm = focalMm / wider;
  const tanHalfWidth = (body.sensor[0] * body.squeeze) / (2 * breathedFocalMm);
  const tanHalfHeight = body.sensor[1] / (2 * breathedFocalMm);
  const place = eyesPlaceFor(said.shot, point, sitter);
  const aimed = aimFor(point, sitter.eyes, place.x, place.y, tanHalfWidth, tanHalfHeight);
  const pan = said.pan ?? aimed?.pan ?? headingOf(minus(sitter.eyes, point));
  const tilt = said.tilt ?? aimed?.tilt ?? 0;
  const hole = pinHole(point, pan, tilt, tanHalfWidth, tanHalfHeight);
  const ahead = (at: Vector3): number => dot(minus(at, point), hole.forward);
  const nearer = Math.min(ahead(sitter.leftEye), ahead(sitter.rightEye));
  return {
    // Named one by one: a spread with more fields after it costs thirty times as much, at every step of a drag.
    point: hole.point,
    forward: hole.forward,
    right: hole.right,
    up: hole.up,
    tanHalfWidth: hole.tanHalfWidth,
    tanHalfHeight: hole.tanHalfHeight,
    id: said.id,
    said,
    body,
    lens,
    pan,
    tilt,
    focalMm,
    breathedFocalMm,
    sensorMm: body.sensor,
    pixels: body.pixels,
    aspect: (body.sensor[0] * body.squeeze) / body.sensor[1],
    squeeze: body.squeeze,
    stop: Math.max(said.stop ?? lens.stop, lens.stop),
    focus: said.focus ?? Math.max(lens.closeFocus, nearer > 0.05 ? nearer : nearEye),
    halfWidthDegrees: degreesOf(Math.atan(tanHalfWidth)),
    halfHeightDegrees: degreesOf(Math.atan(tanHalfHeight)),
    sitterDepth: ahead(sitter.eyes),
    sitterDistance,
  };
}
