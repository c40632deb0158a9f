import type { Plan } from "#documents/plan";
import { daylightAt, dayOf } from "#room/sun-daylight";
import type { Daylight } from "./room-model.ts";

/** The sun and the sky of a plan at a minute of its day; none where no day is said. */
export function daylightOf(plan: Plan, minute: number): Daylight {
  const day = dayOf(plan);
  if (!day) return { towardsSun: null, sunLux: 0, skyLux: 0, figures: null };
  const figures = daylightAt(plan, day, minute);
  const { outside, toSun, overcast } = figures;
  return { towardsSun: overcast ? null : toSun, sunLux: outside.sun, skyLux: outside.sky, figures };
}
