import type { Chapter, MeasureContext, Missing, SittingView } from "#documents/chapter";
import type { Finding } from "#documents/finding";
import type { KitResult } from "#documents/kit-result";
import type { Plan } from "#documents/plan";
import { countOf, openSentence } from "#science/units/number-words";
import { hoursMinutes } from "#science/units/time-figures";
import { cameraKit } from "./kit-cameras.ts";
import { cautionsOf } from "./kit-cautions.ts";
import { dayOfPlan } from "./kit-day.ts";
import { findingsOfKit } from "./kit-findings.ts";
import { type CableRun, packList, packWeight } from "./kit-pack.ts";
import { powerKit } from "./kit-power.ts";

/** What Kit depends on: the plan, and how far its cables run. */
export interface KitInputs {
  readonly plan: Plan;
  readonly cables: readonly CableRun[];
}

const order = { stop: 0, warn: 1, note: 2 } as const;

/**
 * Cards, batteries, circuits and the pack of a plan.
 *
 * @param cables - As Room's result has them; none: no cable is packed.
 */
export function kitFigures(plan: Plan, cables: readonly CableRun[] = []): KitResult {
  const day = dayOfPlan(plan);
  const power = powerKit(plan, day);
  const pack = packList(plan, cables);
  const figures = {
    day: {
      isSaid: day.isSaid,
      minutes: day.minutes,
      recordedMinutes: day.recordedMinutes,
      blocks: day.blocks.map((block) => ({ ...block })),
    },
    cameras: cameraKit(plan, day),
    ...power,
    pack,
    weight: packWeight(pack),
    cautions: cautionsOf(plan, power),
  };
  const findings = findingsOfKit(plan, figures).sort((a, b) => order[a.weight] - order[b.weight]);
  return { ...figures, findings };
}

/** What is wrong or worth knowing about the kit. */
export const kitFindings = (result: KitResult): Finding[] => result.findings;

const joined = (words: readonly string[]): string =>
  words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} and ${words.at(-1)}`;

/** The sentence that opens the chapter. */
export function kitVerdict(result: KitResult): string {
  const { cameras, circuits, findings } = result;
  if (cameras.length === 0) return "The plan has no camera whose body is in the kit.";
  const stops = findings.filter(({ weight }) => weight === "stop");
  if (stops.length > 0)
    return stops.length === 1
      ? stops[0]!.says
      : `${openSentence(countOf(stops.length, "thing"))} of the kit do not last or hold: ${stops[0]!.says}`;
  const carded = cameras.filter((c) => c.cards !== null);
  const hours = carded.map((c) => `${hoursMinutes(60 * c.cards!.hours)} on ${c.id}`);
  const swaps = cameras.flatMap((c) => c.swaps);
  const inside = swaps.filter(({ inBreak }) => !inBreak);
  const changes =
    swaps.length === 0
      ? "nothing has to be changed"
      : inside.length === 0
        ? `${countOf(swaps.length, "change")} of card or battery fall${swaps.length === 1 ? "s" : ""} in breaks`
        : `${countOf(inside.length, "change")} of card or battery fall${inside.length === 1 ? "s" : ""} inside a block`;
  const cards = hours.length > 0 ? `The cards hold ${joined(hours)}` : "How long the cards last is not known";
  const fullest = [...circuits].sort((a, b) => b.share - a.share)[0];
  const mains = fullest
    ? `; the fullest circuit, ${fullest.name.replace(/^The /, "the ")}, is at ${Math.round(100 * fullest.share)} % of its rating`
    : "";
  return result.day.blocks.length > 0 ? `${cards}; ${changes}${mains}.` : `${cards}${mains}.`;
}

/** How long the kit lasts over the day, and what to bring. */
export const kit: Chapter<"kit", KitInputs> = {
  name: "kit",
  version: 3,
  question: "Does the kit last the day, and what has to come along?",
  after: ["room"],
  inputs({ sitting, results }: SittingView): KitInputs | Missing {
    const cables = results.room?.geometry.cables ?? [];
    return sitting.plan
      ? { plan: sitting.plan, cables: cables.map(({ id, metres }) => ({ id, metres })) }
      : { missing: "No plan yet. Draw the room and name the kit in Room, or give a plan file to gemel kit." };
  },
  measure: ({ plan, cables }, context: MeasureContext): Promise<KitResult> => {
    context.progress(1, "adding up the kit");
    return Promise.resolve(kitFigures(plan, cables));
  },
  verdict: kitVerdict,
  findings: kitFindings,
};
