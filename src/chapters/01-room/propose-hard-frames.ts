import { lengthWords } from "#science/units/length-words";
import { openSentence } from "#science/units/number-words";
import { framesOnTheWay } from "./camera-poses.ts";
import {
  bodyOf,
  boomTail,
  cameraSize,
  columnThick,
  legsThick,
  lightName,
  poleTop,
  standName,
} from "./geometry-things.ts";
import { barInFrame, oblongInFrame } from "./propose-frame.ts";
import type { Tell } from "./propose-hard-rule.ts";
import type { Scene } from "./scene.ts";

/** A boom and its pole stay this far out of every frame, metres: stands sink and sitters lean. Common practice. */
const boomGap = 0.06;

/** Tells what stands in a frame that a viewer must not see, wherever its camera is on the way. */
export function tellFrames(scene: Scene, tell: Tell): void {
  const { upright, legs } = bodyOf(scene.interviewer);
  for (const camera of scene.cameras)
    for (const pose of framesOnTheWay(scene, camera)) {
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
          ...upright.map(({ middle, width, height }) => oblongInFrame(pose, middle, width, height)),
          ...legs.map(([from, to]) => barInFrame(pose, from, to, legsThick / 2, legsThick / 2)),
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
