import type { ColourSaid, CurveSaid } from "#documents/said";
import { curveNames, readCurve } from "#jobs/read-curve";

import { type Call, type CommandSpec, type OptionSpec, usageError } from "./command.ts";

/** `--curve-a` and so on for some cameras, and `--exposure`. */
export function curveOptions(cameras: readonly string[]): Record<string, OptionSpec> {
  return {
    ...Object.fromEntries(
      cameras.map((camera): [string, OptionSpec] => [
        `curve-${camera}`,
        {
          takes: "one",
          word: "CURVE",
          help: `camera ${camera.toUpperCase()}'s curve where its file does not say: ${curveNames.join(", ")}; the parameters of a log curve as JSON; or a .cube or .clf file`,
        },
      ]),
    ),
    exposure: {
      takes: "one",
      word: "chart|face",
      help: "what makes the cameras equally bright: the chart's greys, or the sitter's face; chart where not given",
    },
  };
}

/** What the options say of the cameras' colour; undefined where they say nothing. */
export async function readColourSaid(
  spec: CommandSpec,
  call: Call,
  cameras: readonly string[],
): Promise<ColourSaid | undefined> {
  const curves: Record<string, CurveSaid> = {};
  for (const camera of cameras) {
    const word = call.one(`curve-${camera}`);
    if (word !== undefined) curves[camera.toUpperCase()] = await readCurve(word);
  }
  const exposure = call.one("exposure");
  if (exposure !== undefined && exposure !== "chart" && exposure !== "face")
    throw usageError(spec, `--exposure ${exposure} is neither chart nor face.`);
  if (Object.keys(curves).length === 0 && exposure === undefined) return undefined;
  return {
    ...(Object.keys(curves).length > 0 ? { curves } : {}),
    ...(exposure === undefined ? {} : { exposure }),
  };
}
