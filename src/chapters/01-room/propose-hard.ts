import type { BrokenRule } from "#documents/room-proposals";
import type { Ground } from "./propose-ground.ts";
import { tellCamera, tellKit, tellLine } from "./propose-hard-cameras.ts";
import { tellFloor, tellWays } from "./propose-hard-floor.ts";
import { tellFrames } from "./propose-hard-frames.ts";
import { tellBoom, tellLights } from "./propose-hard-overhead.ts";
import { type HardRule, hardRules, type Tell } from "./propose-hard-rule.ts";
import type { Scene } from "./scene.ts";

/**
 * How far a staging breaks the hard rules, all told: 0 where it keeps every one, growing with each breach so that a search is led
 * back.
 *
 * @param enough - From here on the sum is not worked out to the end.
 */
export function breachOf(scene: Scene, ground: Ground, enough: number = Number.POSITIVE_INFINITY): number {
  let sum = 0;
  const tell: Tell = (_, amount) => {
    sum += Math.min(3, amount);
  };
  for (const look of looks) {
    look(scene, ground, tell);
    if (sum > enough) return sum;
  }
  // The dearest look, at the ways, is worth it only where the rest is kept; till then they count as all cut off.
  if (sum > 0) return sum + mostCut;
  tellWays(scene, ground, tell);
  return sum;
}

/** More than what all ways cut off amount to. */
const mostCut = 3;

/** The hard rules that a staging breaks, the worst first, in words. */
export function brokenRules(scene: Scene, ground: Ground): BrokenRule[] {
  const worst = new Map<HardRule, { amount: number; worst: number; says: string; remedy: string }>();
  tellBreaches(scene, ground, (rule, amount, says, remedy) => {
    const known = worst.get(rule);
    if (!known) worst.set(rule, { amount, worst: amount, says: says(), remedy });
    else {
      known.amount += amount;
      if (amount > known.worst) Object.assign(known, { worst: amount, says: says(), remedy });
    }
  });
  return [...worst]
    .sort((a, b) => b[1].amount - a[1].amount)
    .map(([code, { says, remedy }]) => ({
      code,
      name: hardRules[code],
      says,
      remedy,
    }));
}

/**
 * The looks for breaches, the cheapest first; ways come after them. Amounts are summed in this order: another order rounds otherwise,
 * and the same seed would find other stagings.
 */
const looks: readonly ((scene: Scene, ground: Ground, tell: Tell) => void)[] = [
  tellFloor,
  (scene, _, tell) => tellLine(scene, tell),
  tellKit,
  (scene, _, tell) => {
    for (const microphone of scene.microphones)
      if (microphone.said.role === "boom") tellBoom(scene, microphone, tell);
  },
  (scene, _, tell) => tellLights(scene, tell),
  (scene, _, tell) => {
    for (const camera of scene.cameras) tellCamera(scene, camera, tell);
  },
  (scene, _, tell) => tellFrames(scene, tell),
];

function tellBreaches(scene: Scene, ground: Ground, tell: Tell): void {
  for (const look of looks) look(scene, ground, tell);
  tellWays(scene, ground, tell);
}
