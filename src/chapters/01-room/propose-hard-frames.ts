import type { Vector3 } from "#science/geometry/vector3";
import { aimFor, type PinHole, pinHole } from "#science/optics/pin-hole";
import { lengthWords } from "#science/units/length-words";
import { openSentence } from "#science/units/number-words";
import { boomTail, cameraSize, columnThick, lightName, poleTop, standName } from "./geometry-things.ts";
import { barInFrame, oblongInFrame } from "./propose-frame.ts";
import type { Tell } from "./propose-hard-rule.ts";
import type { Scene, SceneCamera } from "./scene.ts";
import { eyesPlaceFor } from "./scene-camera.ts";

/** A boom and its pole stay this far out of every frame, metres: stands sink and sitters lean. Common practice. */
const boomGap = 0.06;

/** The frames of a camera where it stands and, on a rail, at the move's two ends, turned so that the sitter stays in place. */
function posesOf(scene: Scene, camera: SceneCamera): readonly PinHole[] {
  const poses: PinHole[] = [camera];
  const { sitter } = scene;
  const { tanHalfWidth, tanHalfHeight } = camera;
  for (const slide of scene.slides) {
    if (slide.camera.id !== camera.id) continue;
    for (const end of [slide.from, slide.to]) {
      const place = eyesPlaceFor(camera.said.shot, end, sitter);
      const aim =
        slide.said.head === "none"
          ? null
          : aimFor(end, sitter.eyes, place.x, place.y, tanHalfWidth, tanHalfHeight);
      const isHeld = !slide.said.tilts && camera.said.tilt !== undefined;
      const tilt = isHeld ? camera.tilt : (aim?.tilt ?? camera.tilt);
      poses.push(pinHole(end, aim?.pan ?? camera.pan, tilt, tanHalfWidth, tanHalfHeight));
    }
  }
  return poses;
}

/** Tells what stands in a frame that a viewer must not see, wherever its camera is on the way. */
export function tellFrames(scene: Scene, tell: Tell): void {
  const { interviewer } = scene;
  const seat = interviewer.seatHeight ?? 0;
  const shoulders = interviewer.leftShoulder[2];
  const torso: Vector3 = [interviewer.head[0], interviewer.head[1], (shoulders + seat) / 2];
  for (const camera of scene.cameras)
    for (const pose of posesOf(scene, camera)) {
      const told = (depth: number, what: () => string, is = "is in"): void => {
        if (depth > 0)
          tell(
            "frames",
            0.05 + depth,
            () => `${openSentence(what())} ${is} camera ${camera.id}'s frame.`,
            "Move it out, frame tighter, or take a pin out.",
          );
      };
      for (const other of scene.cameras)
        if (other.id !== camera.id)
          told(oblongInFrame(pose, other.point, cameraSize, cameraSize), () => `Camera ${other.id}`);
      told(
        Math.max(
          oblongInFrame(pose, interviewer.head, 0.18, 0.26),
          oblongInFrame(pose, torso, 0.42, shoulders - seat),
        ),
        () => "The interviewer",
      );
      for (const light of scene.lights)
        told(
          oblongInFrame(pose, light.point, Math.max(0.2, light.size[0]), Math.max(0.2, light.size[1])),
          () => lightName(light),
        );
      for (const stand of scene.stands) {
        if (stand.kind === "camera" && stand.holds === camera.id) continue;
        const [x, y] = stand.at;
        told(
          Math.max(
            oblongInFrame(pose, [x, y, stand.top / 2], columnThick, stand.top),
            oblongInFrame(pose, [x, y, 0.15], 2 * stand.footprint, 0.3),
          ),
          () => standName(scene, stand),
        );
      }
      for (const microphone of scene.microphones) {
        if (microphone.said.role !== "boom") continue;
        const tail = boomTail(microphone);
        const top = poleTop(microphone);
        told(
          Math.max(
            barInFrame(pose, microphone.point, tail, boomGap, boomGap),
            top ? barInFrame(pose, tail, top, boomGap, boomGap) : 0,
          ),
          () => "The boom",
          `hangs into, or less than ${lengthWords(boomGap, scene.plan.units)} from,`,
        );
      }
      for (const slide of scene.slides)
        if (slide.camera.id !== camera.id)
          told(
            barInFrame(
              pose,
              [slide.from[0], slide.from[1], slide.from[2] - 0.15],
              [slide.to[0], slide.to[1], slide.to[2] - 0.15],
              0.08,
              0.08,
            ),
            () => `The rail of camera ${slide.camera.id}`,
          );
    }
}
