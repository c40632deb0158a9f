import { isInside } from "#science/geometry/polygon";
import { lengthWords } from "#science/units/length-words";
import { openSentence } from "#science/units/number-words";
import { boomTail, lightName, poleTop } from "./geometry-things.ts";
import type { Tell } from "./propose-hard-rule.ts";
import type { Scene, SceneMicrophone } from "./scene.ts";
import { isClear } from "./scene-rays.ts";

/* Common practice, metres. */

/** The longest reach of a boom's pole on a stand. */
const poleReach = 2.6;
/** A boom over the head stays this far above it. */
const overCrown = 0.02;
/** What is nearer to the ceiling than this touches it. */
const underCeiling = 0.05;

/** Tells where a boom hangs through the ceiling, at the head, or farther from its stand than its pole reaches. */
export function tellBoom(scene: Scene, microphone: SceneMicrophone, tell: Tell): void {
  const { room, sitter } = scene;
  const { units } = scene.plan;
  const tail = boomTail(microphone);
  const top = poleTop(microphone);
  const high = Math.max(microphone.point[2], tail[2], top?.[2] ?? 0) - (room.height - underCeiling);
  if (high > 0)
    tell(
      "boom",
      high,
      () => `The boom is ${lengthWords(high, units)} too high for the ceiling.`,
      "Bring it lower, or frame tighter.",
    );
  const low = sitter.crown[2] + overCrown - microphone.point[2];
  // In front of the face a boom may hang lower than the crown; over the head it may not.
  const ahead = Math.hypot(microphone.point[0] - sitter.head[0], microphone.point[1] - sitter.head[1]);
  if (low > 0 && ahead < 0.3)
    tell("boom", low, () => "The boom hangs at the sitter's head.", "Raise it, or bring it forward.");
  if (!isInside(room.outline, microphone.point[0], microphone.point[1]))
    tell("boom", 0.5, () => "The boom's tip is outside the room.", "Bring it in.");
  if (!top) return;
  const reach = Math.hypot(top[0] - tail[0], top[1] - tail[1], top[2] - tail[2]) - poleReach;
  if (reach > 0)
    tell(
      "boom",
      reach,
      () => `The boom's stand is ${lengthWords(reach, units)} farther off than its pole reaches.`,
      "Bring the stand nearer.",
    );
}

/** Tells of lights that are too high for the ceiling or their stand, or whose way to the sitter is blocked. */
export function tellLights(scene: Scene, tell: Tell): void {
  const { units } = scene.plan;
  for (const light of scene.lights) {
    const high = light.point[2] + light.size[1] / 2 - (scene.room.height - underCeiling);
    if (high > 0)
      tell(
        "ceiling",
        high,
        () => `${openSentence(lightName(light))} is ${lengthWords(high, units)} too high for the ceiling.`,
        "Lower it, or take a smaller modifier.",
      );
    const stand = scene.plan.kit.stands.find((s) => s.id === light.said.stand);
    const over = stand ? light.point[2] - stand.highest - 0.2 : 0;
    if (over > 0)
      tell(
        "ceiling",
        over,
        () =>
          `${openSentence(lightName(light))} is ${lengthWords(over, units)} higher than its stand reaches.`,
        "Lower it, or take a taller stand.",
      );
    const isForSitter = light.said.role === "key" || light.said.role === "fill" || light.said.role === "hair";
    if (isForSitter && !isClear(scene, light.point, scene.sitter.eyes))
      tell(
        "sight",
        0.3,
        () => `Something stands between ${lightName(light)} and the sitter.`,
        "Move the furniture, or take a pin out.",
      );
  }
}
