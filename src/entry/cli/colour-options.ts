import type { ChartSaid, ColourSaid, CurveSaid } from "#documents/said";
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

/** `--corners-a` and so on: where a camera's chart lies, set by hand. */
export function cornersOptions(cameras: readonly string[]): Record<string, OptionSpec> {
  return Object.fromEntries(
    cameras.map((camera): [string, OptionSpec] => [
      `corners-${camera}`,
      {
        takes: "one",
        word: "CORNERS",
        help: `where the chart lies in camera ${camera.toUpperCase()}'s first recording, if it is not found: SECONDS:X,Y,X,Y,X,Y,X,Y, the outer corners of its patches in pixels, from dark skin's clockwise`,
      },
    ]),
  );
}

/** Corners that the options set, by camera's letter. */
export function readCorners(
  spec: CommandSpec,
  call: Call,
  cameras: readonly string[],
): Readonly<Record<string, Pick<ChartSaid, "at" | "corners">>> {
  return Object.fromEntries(
    cameras.flatMap((camera) => {
      const word = call.one(`corners-${camera}`);
      if (word === undefined) return [];
      const [at, ...rest] = word.split(":");
      const numbers = [at!, ...rest.join(":").split(",")].map((text) =>
        text.trim() === "" ? Number.NaN : Number(text),
      );
      const [seconds, ...xy] = numbers as [number, ...number[]];
      if (xy.length !== 8 || !numbers.every(Number.isFinite) || seconds < 0)
        throw usageError(
          spec,
          `--corners-${camera} ${word} is not seconds, a colon and eight numbers, as in 12.5:410,220,890,235,880,560,400,540.`,
        );
      const corners = [0, 2, 4, 6].map((k): [number, number] => [xy[k]!, xy[k + 1]!]);
      return [[camera.toUpperCase(), { at: seconds, corners }]];
    }),
  );
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
