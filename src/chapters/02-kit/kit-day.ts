import type { Plan } from "#documents/plan";
import { clockOfMinutes, minutesOfClock } from "#science/sun/local-time";

/** A stretch of recording without a break. */
export interface KitBlock {
  readonly name: string;
  /** Minutes from the day's start: [from, to). */
  readonly from: number;
  readonly to: number;
  /** Until the next one. */
  readonly breakMinutes: number;
}

/** The day as Kit counts it. */
export interface KitDay {
  readonly isSaid: boolean;
  readonly blocks: readonly KitBlock[];
  readonly minutes: number;
  readonly recordedMinutes: number;
  /** Clock time of a minute of the day; null where no hours are said. */
  readonly clockOf: (minute: number) => string | null;
}

/** Blocks of a plan's day one after another; without blocks its hours are one; without hours there are none. */
export function dayOfPlan(plan: Plan): KitDay {
  const said = plan.day?.blocks ?? [];
  const start = plan.when ? minutesOfClock(plan.when.from) : null;
  const clockOf = (minute: number): string | null => (start === null ? null : clockOfMinutes(start + minute));
  const blocks: KitBlock[] = [];
  if (said.length > 0) {
    let at = 0;
    for (const { name, minutes, breakMinutes } of said) {
      blocks.push({ name, from: at, to: at + minutes, breakMinutes });
      at += minutes + breakMinutes;
    }
  } else if (plan.when && start !== null) {
    const end = minutesOfClock(plan.when.to);
    blocks.push({
      name: "the shoot",
      from: 0,
      to: end > start ? end - start : end + 1440 - start,
      breakMinutes: 0,
    });
  }
  return {
    isSaid: said.length > 0,
    blocks,
    minutes: blocks.at(-1)?.to ?? 0,
    recordedMinutes: blocks.reduce((sum, { from, to }) => sum + to - from, 0),
    clockOf,
  };
}
