import { cautionsTogether, type KitResult } from "#documents/kit-result";
import { ownKitPath, readKit, saveKit } from "#jobs/kit-store";
import { kitToBeginFrom, measureKit } from "#jobs/measure-kit";
import { readPlan } from "#jobs/measure-room";
import { type CommandSpec, usageError } from "./command.ts";
import type { Command } from "./commands.ts";
import { inUnits, unitsOption } from "./units-option.ts";
import { tellResult } from "./with-executor.ts";

const spec: CommandSpec = {
  name: "kit",
  usage: "gemel kit FILE [--keep] [--units metric|feet] [--json], or gemel kit --own, or gemel kit --generic",
  help: "says how long cards and batteries last the day, what the circuits carry and what to pack",
  example: "gemel kit loft.json --keep\nadds up the plan's kit, and keeps it as your own for later sittings",
  options: {
    ...unitsOption,
    keep: { takes: "flag", help: "keep the plan's kit as your own, in place of what was kept before" },
    own: { takes: "flag", help: "print your own kit" },
    generic: { takes: "flag", help: "print kit by size and figure to begin from" },
  },
};

/** The pack as text: a line for each thing. */
function packText({ pack, weight, cautions }: KitResult): string {
  const lines = pack.flatMap(({ setup, items }) => [
    `${setup}:`,
    ...items.map(
      ({ name, count, weightKg }) =>
        `  ${count} × ${name}${weightKg === null ? "" : `, ${(weightKg * count).toFixed(1)} kg`}`,
    ),
  ]);
  const weighs = `${weight.kilograms.toFixed(1)} kg${weight.unknown > 0 ? `, and ${weight.unknown} things whose weight is not said` : ""}`;
  const packed = lines.length > 0 ? `\nTo pack (${weighs}):\n${lines.join("\n")}\n` : "";
  const told = cautionsTogether(cautions).map((line) => `  ${line}\n`);
  return `${packed}${told.length > 0 ? `\nTake care:\n${told.join("")}` : ""}`;
}

export const kit: Command = {
  spec,
  run: async (call) => {
    const [file, more] = call.words;
    const prints = ["own", "generic"].filter((option) => call.has(option));
    if (prints.length > 0) {
      if (file !== undefined || prints.length > 1 || call.has("keep"))
        throw usageError(spec, `gemel kit --${prints[0]} takes nothing else.`);
      const found = call.has("own") ? await readKit() : kitToBeginFrom;
      if (found === null)
        throw usageError(
          spec,
          `No kit is kept yet in ${ownKitPath()}; gemel kit FILE --keep keeps a plan's.`,
        );
      process.stdout.write(`${JSON.stringify(found, null, 2)}\n`);
      return 0;
    }
    if (file === undefined || more !== undefined)
      throw usageError(spec, "gemel kit takes one plan file, or the folder of one sitting.");
    const plan = inUnits(spec, call, await readPlan(file));
    const { result, verdict } = measureKit(plan);
    if (call.has("keep")) {
      await saveKit(plan.kit);
      process.stderr.write(`The plan's kit is kept as your own, in ${ownKitPath()}.\n`);
    }
    const code = tellResult("kit", result, verdict, call.has("json"));
    if (!call.has("json")) process.stdout.write(packText(result));
    return code;
  },
};
