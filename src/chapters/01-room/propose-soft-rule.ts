import { likingLow } from "#science/search/liking";
import { lengthWords } from "#science/units/length-words";
import type { Look } from "./propose-look.ts";

/** A wish of the craft or of the person; what it weighs stands in the table of all of them. */
export interface SoftRule {
  readonly name: string;
  /** Whether the plan has anything that it could be asked of; the same for every staging of a plan. */
  asked(look: Look): boolean;
  /** 0 to 1. */
  score(look: Look): number;
  /** Costs much to work out: asked last, and often not at all. */
  readonly isDear?: true;
  /** A sentence with the figures that the score was given for. */
  says(look: Look): string;
}

/** Rules of one subject by their codes, as stored proposals name them. */
export type SoftRules = Readonly<Record<string, SoftRule>>;

/** Mean of scores; 0 of none. */
export const mean = (values: readonly number[]): number =>
  values.reduce((a, b) => a + b, 0) / Math.max(1, values.length);

/** Full marks only for nothing of it at all; less the more there is, down to 0 at `zero`. */
export const noneOf = (amount: number, zero: number): number =>
  amount > 0 ? 0.9 * likingLow(amount, 0, zero) : 1;

/** Whether a plan has a camera. */
export const hasCameras = (look: Look): boolean => look.cameras.length > 0;

/** An angle as a sentence says it: "47°". */
export const degrees = (value: number): string => `${Math.round(value)}°`;

/** A length in the plan's own units. */
export const words = (look: Look, metres: number): string => lengthWords(metres, look.scene.plan.units);
