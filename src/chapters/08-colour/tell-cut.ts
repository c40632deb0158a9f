import { chart24Neutrals } from "#science/colour/chart24";
import { sidesLeft } from "#science/vision/cut-chart";
import type { ShotOfChart } from "./shoot-chart.ts";
import { listOf } from "./words.ts";

/** What is said of a chart that reaches out of the picture. */
export interface CutTold {
  readonly says: string;
  readonly remedy: string;
  readonly figure: string;
  /** True where too little of it is left to match by. */
  readonly isRefused: boolean;
}

/** More patches outside than a row, or more greys than one, and the match would rest on what was not seen. */
const mostOutside = 6;
const mostGreysOutside = 1;

/** Tells which sides of the picture the chart leaves by, and whether what is left of it serves. */
export function tellCut(camera: string, at: string, { reading, sighting }: ShotOfChart): CutTold {
  const outside = reading.outside ?? [];
  const greys = outside.filter((i) => chart24Neutrals.includes(i)).length;
  const isRefused = outside.length > mostOutside || greys > mostGreysOutside;
  const { width, height, rotationDegrees } = sighting.recording.probe.picture!;
  const size = rotationDegrees % 180 === 0 ? { width, height } : { width: height, height: width };
  const sides = sidesLeft(reading.corners, size).map((side) =>
    side === "top" || side === "bottom" ? `at the ${side}` : `on the ${side}`,
  );
  const count = outside.length === 1 ? "one patch" : `${outside.length} patches`;
  const where = sides.length > 0 ? ` ${listOf(sides)}` : "";
  const lost = greys > mostGreysOutside ? `, ${greys} of the six greys among them` : "";
  return {
    says: `The chart leaves camera ${camera}'s picture${where} at ${at}: ${count} of 24 ${outside.length === 1 ? "is" : "are"} not in it${lost}.`,
    remedy: isRefused
      ? "Film it again whole. Nothing was matched from this shot."
      : "The match rests on the others. Film it again whole where you can.",
    figure: `${24 - outside.length} of 24 patches`,
    isRefused,
  };
}
