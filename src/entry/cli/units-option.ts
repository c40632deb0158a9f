import type { Plan } from "#documents/plan";
import { type Call, type CommandSpec, type OptionSpec, usageError } from "./command.ts";

/** Which units lengths are told in, whatever the plan was drawn in. */
export const unitsOption: Readonly<Record<"units", OptionSpec>> = {
  units: {
    takes: "one",
    word: "metric|feet",
    help: "tell lengths in metres, or in feet and inches; the plan's own units where not given",
  },
};

/** The plan, told in the units that a call asks for. */
export function inUnits(spec: CommandSpec, call: Call, plan: Plan): Plan {
  const units = call.one("units");
  if (units === undefined) return plan;
  if (units !== "metric" && units !== "feet")
    throw usageError(spec, `--units ${units} is neither metric nor feet.`);
  return { ...plan, units };
}
