import type { RoomGeometry } from "#documents/room-result";
import { distanceToOutline } from "#science/geometry/polygon";
import {
  distanceBetween,
  headingOf,
  minus,
  tiltOf,
  turnBetween,
  unit,
  type Vector3,
} from "#science/geometry/vector3";
import { keySourceOf } from "./camera-key.ts";
import type { Scene } from "./scene.ts";
import { firstHit } from "./scene-rays.ts";

/** Nearer to the line than this, a camera is on it, degrees at the sitter. */
const onLine = 1.5;

/** Side of the line through sitter and interviewer on which a point lies, for the sitter who looks along it. */
export function sideOfLine(scene: Scene, point: Vector3): "left" | "right" | "on" {
  const { sitter, interviewer } = scene;
  const line = minus(interviewer.head, sitter.head);
  const turn = turnBetween(headingOf(line), headingOf(minus(point, sitter.head)));
  if (Math.abs(turn) < onLine || Math.abs(turn) > 180 - onLine) return "on";
  return turn > 0 ? "right" : "left";
}

/** The line, the distances of the two who talk, and where the key stands to the sitter's gaze. */
export function lineFigures(
  scene: Scene,
): Pick<
  RoomGeometry,
  "talkMetres" | "lineCrossed" | "headTurn" | "sitterToWall" | "sitterToBehind" | "interviewerToWall" | "key"
> {
  const { sitter, interviewer, room } = scene;
  const points = scene.cameras.flatMap((camera): Vector3[] => {
    const slide = scene.slides.find((s) => s.camera.id === camera.id);
    return slide ? [camera.point, slide.from, slide.to] : [camera.point];
  });
  const sides = new Set(points.map((p) => sideOfLine(scene, p)));
  const gaze = headingOf(sitter.gaze);
  const backwards: Vector3 = unit([-sitter.gaze[0], -sitter.gaze[1], 0]);
  const key = keySourceOf(scene);
  const keyTurn = key ? turnBetween(gaze, headingOf(minus(key.point, sitter.head))) : 0;
  const turns = scene.cameras.map((c) => turnBetween(gaze, headingOf(minus(c.point, sitter.head))));
  const nearest = turns.reduce((a, b) => (Math.abs(b) < Math.abs(a) ? b : a), turns[0] ?? 0);
  return {
    talkMetres: distanceBetween(sitter.eyes, interviewer.eyes),
    lineCrossed: sides.has("left") && sides.has("right"),
    headTurn: turnBetween(sitter.bodyHeading, sitter.headHeading),
    sitterToWall: distanceToOutline(room.outline, sitter.head[0], sitter.head[1]),
    sitterToBehind: firstHit(scene, sitter.head, backwards)?.metres ?? 0,
    interviewerToWall: distanceToOutline(room.outline, interviewer.head[0], interviewer.head[1]),
    key: key
      ? {
          id: key.id,
          sideways: keyTurn,
          up: tiltOf(minus(key.point, sitter.eyes)),
          interviewerBetween: turns.length > 0 ? keyTurn * nearest < 0 : null,
        }
      : null,
  };
}
