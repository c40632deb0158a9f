import type { Person } from "#documents/plan";
import {
  along,
  directionOf,
  headingOf,
  minus,
  turnBetween,
  unit,
  type Vector3,
} from "#science/geometry/vector3";
import { bodyHeight, halfShoulderShare, headMetres } from "#science/people/body-points";

/** A person in the room. `at` of the plan is the head's axis, over the seat's middle. */
export interface ScenePerson {
  readonly said: Person;
  readonly stature: number;
  /** Null: stands. */
  readonly seatHeight: number | null;
  /** The head's centre, at eye height. */
  readonly head: Vector3;
  /** Between the eyes. */
  readonly eyes: Vector3;
  readonly leftEye: Vector3;
  readonly rightEye: Vector3;
  readonly mouth: Vector3;
  readonly crown: Vector3;
  readonly breastbone: Vector3;
  readonly leftShoulder: Vector3;
  readonly rightShoulder: Vector3;
  /** Cheeks, left and right of the person. */
  readonly leftCheek: Vector3;
  readonly rightCheek: Vector3;
  /** Heading of the trunk, degrees. */
  readonly bodyHeading: number;
  /** Heading of the head: towards the other person's head. */
  readonly headHeading: number;
  /** From these eyes to the other's, length 1. */
  readonly gaze: Vector3;
}

/** How far a head turns on its trunk without strain, degrees. Common practice. */
const mostTurn = 70;

function person(said: Person, otherAt: Vector3): ScenePerson {
  const { stature, seatHeight } = said;
  const height = (level: Parameters<typeof bodyHeight>[0]): number => bodyHeight(level, stature, seatHeight);
  const [x, y] = said.at;
  const head: Vector3 = [x, y, height("eyes")];
  const wanted = turnBetween(said.heading, headingOf(minus(otherAt, head)));
  const headHeading = said.heading + Math.max(-mostTurn, Math.min(mostTurn, wanted));
  const face = directionOf(headHeading);
  const trunk = directionOf(said.heading);
  const side = (of: Vector3): Vector3 => [of[1], -of[0], 0];
  const eyes = along(head, face, headMetres.eyesForward);
  const shoulders: Vector3 = [x, y, height("shoulders")];
  const mouthHeight: Vector3 = [x, y, height("mouth")];
  const mouth = along(mouthHeight, face, headMetres.mouthForward);
  const cheek = along([x, y, (head[2] + mouthHeight[2]) / 2], face, 0.05);
  return {
    said,
    stature,
    seatHeight,
    head,
    eyes,
    leftEye: along(eyes, side(face), -headMetres.betweenEyes / 2),
    rightEye: along(eyes, side(face), headMetres.betweenEyes / 2),
    mouth,
    crown: [x, y, height("crown")],
    breastbone: along([x, y, height("breastbone")], trunk, headMetres.breastboneForward),
    leftShoulder: along(shoulders, side(trunk), -halfShoulderShare * stature),
    rightShoulder: along(shoulders, side(trunk), halfShoulderShare * stature),
    leftCheek: along(cheek, side(face), -headMetres.breadth / 2),
    rightCheek: along(cheek, side(face), headMetres.breadth / 2),
    bodyHeading: said.heading,
    headHeading,
    gaze: unit(minus(otherAt, eyes)),
  };
}

/** The two who talk, each with the head turned to the other. */
export function sittingTogether(
  sitter: Person,
  interviewer: Person,
): { sitter: ScenePerson; interviewer: ScenePerson } {
  const eyes = (p: Person): Vector3 => [p.at[0], p.at[1], bodyHeight("eyes", p.stature, p.seatHeight)];
  return {
    sitter: person(sitter, eyes(interviewer)),
    interviewer: person(interviewer, eyes(sitter)),
  };
}
