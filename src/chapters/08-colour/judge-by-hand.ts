import type { Finding } from "#documents/finding";
import type { Recording } from "#documents/recording";
import type { ChartSaid } from "#documents/said";
import type { Curve } from "#science/colour/curve";
import { type JudgedShot, judgeShot } from "./judge-shot.ts";
import type { ShotOfChart } from "./shoot-chart.ts";
import { clockTime } from "./words.ts";

/** Colours within corners set by hand that agree less than this with the chart's are doubtful... */
const doubtful = 0.8;
/** ...and with less than this they are something else: matching by them would be a guess. */
const somethingElse = 0.5;

/** Judges a shot of the chart whose corners a person set: as any other, and by whether a chart lies within them at all. */
export function judgeByHand(camera: string, shot: ShotOfChart, curve?: Curve): JudgedShot {
  const judged = judgeShot(camera, shot, curve);
  const { likeness } = shot.reading;
  if (likeness >= doubtful) return judged;
  const isRefused = likeness < somethingElse;
  const says = isRefused
    ? `What lies within the corners set by hand in camera ${camera}'s picture does not have the chart's colours.`
    : `What lies within the corners set by hand in camera ${camera}'s picture agrees only roughly with the chart's colours.`;
  const finding: Finding = {
    code: "colour.corners-doubtful",
    weight: isRefused ? "stop" : "warn",
    says,
    remedy: `Set the corners again, beginning at the dark-skin patch and going clockwise${isRefused ? ", or take them back to have the chart looked for. Nothing was matched from this shot." : "."}`,
    evidence: {
      where: shot.sighting.recording.path,
      from: shot.at,
      figure: `likeness ${likeness.toFixed(2)} of 1`,
    },
  };
  return {
    ...judged,
    problems: [says, ...judged.problems],
    findings: [finding, ...judged.findings],
    refused: judged.refused ?? (isRefused ? says : null),
  };
}

/** Corners between which nothing can be read. */
export const cornersOutside = (
  camera: string,
  { said, recording }: { said: ChartSaid; recording: Recording },
): Finding => ({
  code: "colour.corners-outside",
  weight: "stop",
  says: `The corners set by hand in camera ${camera}'s picture at ${clockTime(said.at)} do not enclose a chart that is wholly in the picture.`,
  remedy: "Set the four corners again on the chart, or take them back to have it looked for.",
  evidence: { where: recording.path, from: said.at },
});
