import type { Plan } from "#documents/plan";
import { headingOf, turnBetween } from "#science/geometry/vector3";
import { lengthWords } from "#science/units/length-words";
import { staysPut } from "./propose-pins.ts";

/* What makes a staging another one and not the same a little to the left. Common practice, metres and degrees. */
const otherPlace = 0.9;
const otherWay = 40;
const otherStand = 0.7;
const otherKey = 40;

const apart = (a: readonly [number, number], b: readonly [number, number]): number =>
  Math.hypot(a[0] - b[0], a[1] - b[1]);

const gazeOf = (plan: Plan): number =>
  headingOf([plan.interviewer.at[0] - plan.sitter.at[0], plan.interviewer.at[1] - plan.sitter.at[1], 0]);

/** Around the sitter from the gaze, clockwise above 0. */
const turnOf = (plan: Plan, at: readonly [number, number]): number =>
  turnBetween(gazeOf(plan), headingOf([at[0] - plan.sitter.at[0], at[1] - plan.sitter.at[1], 0]));

/** Side of the line that the cameras are on: 1 clockwise of the gaze. */
export const sideOfCameras = (plan: Plan): number =>
  Math.sign(plan.cameras.reduce((sum, c) => sum + Math.sign(turnOf(plan, c.at)), 0));

const keyTurn = (plan: Plan): number | null => {
  const key = plan.lights.find((l) => l.role === "key");
  return key ? turnOf(plan, key.at) : null;
};

/**
 * How one staging truly differs from another, in words; empty where it is the same one moved a little.
 *
 * Where the two people may move, only their places and the line count; where both are pinned, cameras, lenses and the key do.
 */
export function differencesOf(plan: Plan, other: Plan): string[] {
  const said: string[] = [];
  const words = (metres: number): string => lengthWords(metres, plan.units);
  const moved = apart(plan.sitter.at, other.sitter.at);
  if (moved >= otherPlace) said.push(`the sitter sits ${words(moved)} elsewhere`);
  const turned = Math.abs(turnBetween(gazeOf(other), gazeOf(plan)));
  if (turned >= otherWay) said.push(`the sitter looks ${Math.round(turned)}° another way`);
  if (sideOfCameras(plan) * sideOfCameras(other) < 0)
    said.push("the cameras are on the other side of the line");
  if (!staysPut(plan, "sitter") && !staysPut(plan, "interviewer")) return said;
  for (const [k, camera] of plan.cameras.entries()) {
    const before = other.cameras[k]!;
    const far = apart(camera.at, before.at);
    if (far >= otherStand) said.push(`camera ${camera.id} stands ${words(far)} elsewhere`);
  }
  const [key, keyBefore] = [keyTurn(plan), keyTurn(other)];
  if (key !== null && keyBefore !== null && Math.abs(turnBetween(key, keyBefore)) >= otherKey)
    said.push("the key comes from another side");
  return said;
}
