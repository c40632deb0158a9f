import type { Microphone, PlacedMicrophone } from "#documents/plan";
import { along, directionOf, minus, plus, unit, type Vector3 } from "#science/geometry/vector3";
import type { SceneCamera } from "./scene-camera.ts";
import type { ScenePerson } from "./scene-person.ts";

/** A microphone in the room. */
export interface SceneMicrophone {
  readonly id: string;
  readonly said: PlacedMicrophone;
  /** Undefined: the kit does not have it; its place still counts. */
  readonly microphone: Microphone | undefined;
  /** The capsule. */
  readonly point: Vector3;
  readonly aim: Vector3;
  /** From the capsule towards its aim, length 1. */
  readonly direction: Vector3;
  /** Whose mouth it is for. */
  readonly mouth: Vector3;
}

/** A boom that nobody placed hangs this far in front of the mouth and over the crown, metres. Common practice. */
const boomForward = 0.25;
const boomOverCrown = 0.25;

/** One microphone of the plan; where nothing is said: lav on the breastbone, boom over the frame, scratch on the camera. */
export function sceneMicrophone(
  said: PlacedMicrophone,
  microphone: Microphone | undefined,
  sitter: ScenePerson,
  interviewer: ScenePerson,
  camera: SceneCamera | undefined,
): SceneMicrophone {
  const talker = said.role === "interviewer" ? interviewer : sitter;
  const usual = (): Vector3 => {
    switch (said.role) {
      case "lav":
      case "interviewer":
        return talker.breastbone;
      case "boom": {
        const over = along(talker.mouth, directionOf(talker.headHeading), boomForward);
        return [over[0], over[1], talker.crown[2] + boomOverCrown];
      }
      case "scratch":
        return camera ? plus(camera.point, [0, 0, 0.12]) : interviewer.mouth;
    }
  };
  const point = said.at ?? usual();
  const aim = said.aim ?? talker.mouth;
  return {
    id: said.id,
    said,
    microphone,
    point,
    aim,
    direction: unit(minus(aim, point)),
    mouth: talker.mouth,
  };
}
