import type { Missing, SittingView } from "#documents/chapter";
import type { Recording } from "#documents/recording";
import type { ChartSaid, CurveSaid } from "#documents/said";
import { type Placement, picturePlacement } from "#science/placement/placement";

/** One camera and all that it recorded, in the order of its card. */
export interface Camera {
  readonly device: string;
  readonly recordings: readonly Recording[];
  /** Its curve, where a person gave it. */
  readonly curve?: CurveSaid;
}

/** Cameras in the order of their letters; the first is the one that the others are matched to. */
export interface ColourInputs {
  readonly cameras: readonly Camera[];
  /** Charts whose corners a person set; the chart is not looked for in such a camera. Not there where nobody did. */
  readonly byHand?: readonly ChartSaid[];
  /** Where pictures lie in the sitting, by recording, as far as the clock placed them. Not there without it. */
  readonly placed?: Readonly<Record<string, Placement>>;
  /** What makes the cameras equally bright; the chart where it is not there. */
  readonly exposure?: "face";
}

/** The cameras that have pictures. */
export function colourInputs({ sitting, recordings, results }: SittingView): ColourInputs | Missing {
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
  const said = sitting.colour;
  const cameras = [...byDevice]
    .map(([device, own]): Camera => {
      const curve = said?.curves?.[device];
      return { device, recordings: own, ...(curve ? { curve } : {}) };
    })
    .sort((p, q) => (p.device < q.device ? -1 : 1));
  const byHand = (sitting.charts ?? []).map(({ hash, at, corners }) => ({ hash, at, corners }));
  const shown = new Set(cameras.flatMap((camera) => camera.recordings.map(({ hash }) => hash)));
  const placed = (results.clock?.recordings ?? []).flatMap((one): [string, Placement][] => {
    const placement = shown.has(one.hash) ? picturePlacement(one) : null;
    return placement ? [[one.hash, coarse(placement)]] : [];
  });
  return {
    cameras,
    ...(byHand.length > 0 ? { byHand } : {}),
    ...(placed.length > 0 ? { placed: Object.fromEntries(placed) } : {}),
    ...(said?.exposure === "face" ? { exposure: "face" as const } : {}),
  };
}

/** To a hundredth of a second: colour asks no more of the clock, and is not measured again for less. */
function coarse({ offset, ratePpm, pieces }: Placement): Placement {
  const round = (line: { offset: number; ratePpm: number }) => ({
    offset: Math.round(100 * line.offset) / 100,
    ratePpm: Math.round(line.ratePpm),
  });
  return {
    ...round({ offset, ratePpm }),
    ...(pieces ? { pieces: pieces.map((piece) => ({ from: Math.round(piece.from), ...round(piece) })) } : {}),
  };
}
