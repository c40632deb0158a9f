/*
 * What makes a shot good or bad, in one currency: 1 is about what a second too many in a long shot costs. All
 * of it is common practice, put in numbers; the hard rules are numbers so large that nothing outweighs them.
 */

/** Shots between these lengths cost nothing for their length, seconds. */
export const easyShot = { least: 4, most: 25 };

/** Cost of a shot for its length alone. */
export function lengthCost(seconds: number, usualSeconds: number): number {
  const short = seconds < easyShot.least ? 2 * (easyShot.least - seconds) ** 2 : 0;
  const long = seconds > easyShot.most ? 0.5 * (seconds - easyShot.most) : 0;
  return short + long + 0.25 * Math.abs(seconds - usualSeconds);
}

/** The length a shot likes to have, seconds: the wider picture is looked at longer. */
export const usualShot = { wide: 9, tight: 7 };

/** A change of angle where nothing is left out: cheaper in a longer break, dearest in running speech. */
export function changeCost(breakSeconds: number): number {
  return breakSeconds <= 0 ? 4.5 : 2.4 - 1.6 * Math.min(breakSeconds, 0.6);
}

/** To open the whole cut on another than the wider camera. */
export const openOnTight = 6;
/** To open a later answer on another than the wider camera. */
export const answerOnTight = 1.5;
/** The tighter camera, once an answer has gone on for {@link emphasisAfterSeconds}: told as a gain. */
export const emphasis = -1;
export const emphasisAfterSeconds = 12;

/** A join hidden by a change of size instead of a change of angle. */
export const sizeChange = 60;
/** To stay on the same camera over a cut that need not be. */
export const stay = 4;

/** A range that is to be avoided: above every soft cost, and the worse one dearer. */
export function badCost(seconds: number, severity: number): number {
  return 300 + (1000 + 1000 * severity) * seconds;
}
/** A slight drift in light is a matter of taste, not of avoiding. */
export function slightCost(seconds: number, severity: number): number {
  return 2 * severity * seconds;
}
const drifts: ReadonlySet<string> = new Set(["white-drift", "flicker", "dark", "bright"]);
const slightSeverity = 0.2;

/** Whether a range must be avoided, or costs a little. */
export function mustAvoid(range: { readonly kind: string; readonly severity: number }): boolean {
  return !(drifts.has(range.kind) && range.severity < slightSeverity);
}
