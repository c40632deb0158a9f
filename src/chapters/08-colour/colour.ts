import type { Chapter } from "#documents/chapter";
import type { ColourResult } from "#documents/chapter-results";
import { type ColourInputs, colourInputs } from "./colour-inputs.ts";
import { measureColour } from "./measure-colour.ts";
import { andStops, capital, clockTime, oneDecimal } from "./words.ts";

export type { ColourInputs } from "./colour-inputs.ts";

/** Colour: does camera B look like camera A, and by how much does it not? */
export const colour: Chapter<"colour", ColourInputs> = {
  name: "colour",
  version: 7,
  question: "Do the two cameras agree?",
  after: ["clock"],
  inputs: colourInputs,
  measure: measureColour,
  verdict,
  findings: (result) => result.findings,
};

/** "From 0:00 to 12:30" of the sitting. */
function inTime(serves: { from: number | null; to: number | null } | undefined): string {
  const from = serves?.from == null ? "From the beginning" : `From ${clockTime(serves.from)}`;
  return serves?.to == null ? `${from} on` : `${from} to ${clockTime(serves.to)}`;
}

/** One or two sentences: how far apart the cameras are now, and were; the worst patch named. */
function verdict(result: ColourResult): string {
  const matches = result.matches ?? (result.match ? [result.match] : []);
  if (matches.length > 0) {
    return matches
      .map(({ from, to, before, after, patches, exposureStops, by, weaker, uncertainty, setup, serves }) => {
        if (by === "card" || by === "scene")
          return `Camera ${from} was matched to camera ${to} without a chart, unsure by ${oneDecimal(uncertainty ?? 0)} units. ${weaker ?? ""}`.trim();
        const worst = patches.reduce((p, q) => (q.after > p.after ? q : p));
        return (
          `${setup === undefined ? "" : `${inTime(serves)}: `}Camera ${from} now agrees with camera ${to} to ${oneDecimal(after.mean)} units; ` +
          `as recorded they differed by ${oneDecimal(before.mean)}${andStops(exposureStops)}. ` +
          `${capital(worst.name)} is worst, at ${oneDecimal(worst.after)}.`
        );
      })
      .join(" ");
  }
  const refused = result.findings.find((f) => f.weight === "stop");
  if (refused) return `The cameras could not be matched. ${refused.says}`;
  const without = result.findings.filter((f) => f.code === "colour.no-chart");
  if (without.length > 1) return "No camera shows the chart, so the cameras were not matched.";
  if (without.length === 1) return `The cameras were not matched. ${without[0]!.says}`;
  return "There is one camera, so there is nothing to match.";
}
