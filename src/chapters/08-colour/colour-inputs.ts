import type { Missing, SittingView } from "#documents/chapter";
import type { Recording } from "#documents/recording";
import type { ChartSaid } from "#documents/said";

/** One camera and all that it recorded, in the order of its card. */
export interface Camera {
  readonly device: string;
  readonly recordings: readonly Recording[];
}

/** Cameras in the order of their letters; the first is the one that the others are matched to. */
export interface ColourInputs {
  readonly cameras: readonly Camera[];
  /** Charts whose corners a person set; the chart is not looked for in such a camera. Not there where nobody did. */
  readonly byHand?: readonly ChartSaid[];
}

/** The cameras that have pictures. */
export function colourInputs({ sitting, recordings }: SittingView): ColourInputs | Missing {
  const byDevice = new Map<string, Recording[]>();
  for (const recording of recordings) {
    if (recording.kind !== "camera" || recording.probe.picture === null) continue;
    const own = byDevice.get(recording.device);
    if (own) own.push(recording);
    else byDevice.set(recording.device, [recording]);
  }
  if (byDevice.size === 0) {
    return { missing: "No pictures yet. Copy the cameras' cards in Cards." };
  }
  const cameras = [...byDevice]
    .map(([device, own]) => ({ device, recordings: own }))
    .sort((p, q) => (p.device < q.device ? -1 : 1));
  const byHand = (sitting.charts ?? []).map(({ hash, at, corners }) => ({ hash, at, corners }));
  return byHand.length > 0 ? { cameras, byHand } : { cameras };
}
