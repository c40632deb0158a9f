import type { Conversation, Turn } from "../sound/conversation.ts";
import { sliderHalfMetres } from "./staging.ts";

/*
 * What is moved during the sitting by hand or motor, as functions of sitting time.
 */

/** Seconds that the carriage takes from one end to the other. */
const slideSeconds = 76;

/** Camera B's place on its slider, metres right of the middle: slowly from end to end, and back in a long sitting. */
export function slideAt(t: number): number {
  return -sliderHalfMetres * Math.cos((Math.PI * t) / slideSeconds);
}

function ease(x: number): number {
  const t = Math.min(1, Math.max(0, x));
  return t * t * t * (t * (6 * t - 15) + 10);
}

const liftSeconds = 0.8;

/** How far below its place a card is, as a share of the picture's height; null when out of sight. */
function lifted(shown: Turn, t: number): number | null {
  if (t < shown.start - liftSeconds || t > shown.end + liftSeconds) return null;
  if (t < shown.start) return 0.75 * ease((shown.start - t) / liftSeconds);
  if (t > shown.end) return 0.75 * ease((t - shown.end) / liftSeconds);
  return 0;
}

/** The chart: fully shown and still from `chart.start` to `chart.end`. */
export function cardLift(talk: Conversation, t: number): number | null {
  return lifted(talk.chart, t);
}

export function slateLift(talk: Conversation, t: number): number | null {
  return lifted({ start: talk.clapAt - 0.35, end: talk.clapAt + 0.45 }, t);
}

/** Which of the slate's drawn states is seen: it falls shut in the last tenth of a second before the clap. */
export function slateState(talk: Conversation, t: number): number {
  const before = talk.clapAt - t;
  return before > 0.09 ? 0 : before > 0.05 ? 1 : before > 0.004 ? 2 : 3;
}

/** Radius of camera B's blur at 1280 pixels of width: grows for five seconds, then is put right at once. */
export function softRadius(soft: Turn, t: number): number {
  if (t < soft.start || t > soft.end) return 0;
  const grown = 2.2 + 5.8 * ease((t - soft.start) / 4);
  return grown * ease((t - soft.start) / 0.5) * ease((soft.end - t) / 0.35);
}
