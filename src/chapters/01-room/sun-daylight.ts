import type { Plan } from "#documents/plan";
import { daylightLux } from "#science/light/daylight";
import { minutesOfClock } from "#science/sun/local-time";
import { type SunDay, sunDirection, sunOfDay } from "#science/sun/sun-position";
import type { Daylight } from "./light-places.ts";

/** The sun of a plan's day; null where its place, its hours or its zone are not known. */
export function dayOf(plan: Plan): SunDay | null {
  return plan.place && plan.when ? sunOfDay(plan.place, plan.when.date) : null;
}

/** First and last minute of the shoot. Hours over midnight end the day. */
export function hoursOf(plan: Plan): { from: number; to: number } | null {
  if (!plan.when) return null;
  const [from, to] = [minutesOfClock(plan.when.from), minutesOfClock(plan.when.to)];
  return { from, to: to > from ? to : 1440 };
}

/** Daylight over the plan's room at a minute of its day. */
export function daylightAt(plan: Plan, day: SunDay, minute: number): Daylight {
  const sun = day.at(minute);
  const sky = plan.when?.sky ?? "clear";
  return {
    outside: daylightLux(sky, sun.altitude),
    overcast: sky === "overcast",
    toSun: sun.altitude > 0 ? sunDirection(sun, plan.room.bearing) : null,
  };
}
