import type { StagingRule } from "#documents/room-proposals";
import type { Look } from "./propose-look.ts";
import { boomRules } from "./propose-soft-boom.ts";
import { cameraRules } from "./propose-soft-cameras.ts";
import { daylightRules } from "./propose-soft-daylight.ts";
import { frameRules } from "./propose-soft-frames.ts";
import { lightRules } from "./propose-soft-light.ts";
import { placeRules } from "./propose-soft-place.ts";
import type { SoftRule } from "./propose-soft-rule.ts";

const rules = { ...cameraRules, ...placeRules, ...lightRules, ...daylightRules, ...frameRules, ...boomRules };

/**
 * What each soft rule weighs; a wish of the person weighs more than one of the craft. Scores are summed in this order: another order
 * rounds otherwise, and the same seed would find other stagings.
 *
 * The best figures and the weights are common practice: sitter off the walls, window or key on the side away from the cameras,
 * interviewer between key and nearest camera, about 30 degrees and two steps of lens between A and B, 24 with 50 and 35 with 85,
 * f/1.8 to f/2 for a sitter who stays put, boom an arm's length from the mouth.
 */
const weights: Readonly<Record<keyof typeof rules, number>> = {
  "eyeline-a": 10,
  "eyeline-b": 6,
  "step-angle": 8,
  "step-lens": 8,
  depth: 8,
  blur: 4,
  "off-wall": 7,
  "key-side": 9,
  "shadow-side": 6,
  "key-height": 4,
  "key-to-fill": 8,
  exposure: 5,
  "eye-line": 4,
  "hair-light": 3,
  "background-light": 3,
  "window-light": 5,
  "window-in-frame": 7,
  show: 14,
  hide: 14,
  microphone: 7,
  "room-sound": 4,
  sun: 6,
  cables: 2,
  "sight-lines": 3,
  headroom: 3,
  talk: 5,
  perspective: 5,
  "boom-shadow": 4,
  reflections: 3,
  looks: 12,
  "interviewer-room": 2,
};

const softRules: readonly (SoftRule & { readonly code: string; readonly weight: number })[] = (
  Object.keys(weights) as (keyof typeof rules)[]
).map((code) => ({ code, weight: weights[code], ...rules[code] }));

/** The cheap ones first. */
const searchOrder = [...softRules].sort((a, b) => Number(a.isDear ?? false) - Number(b.isDear ?? false));

/**
 * What a staging lacks of the weighed mean of the soft rules that the plan can be asked: 0 nothing, 1 all. No words, cheap.
 *
 * @param enough - Once it is certain to lack more than this, the rest is not worked out.
 */
export function softLack(look: Look, enough: number = Number.POSITIVE_INFINITY): number {
  let weights = 0;
  for (const rule of softRules) if (rule.asked(look)) weights += rule.weight;
  const most = enough * weights;
  let lack = 0;
  for (const rule of searchOrder) {
    if (!rule.asked(look)) continue;
    lack += rule.weight * (1 - rule.score(look));
    if (lack > most) break;
  }
  return lack / weights;
}

/** The soft rules with their scores and reasons. */
export function softRulesOf(look: Look): StagingRule[] {
  return softRules
    .filter((rule) => rule.asked(look))
    .map((rule) => ({
      code: rule.code,
      name: rule.name,
      weight: rule.weight,
      score: rule.score(look),
      says: rule.says(look),
    }));
}
