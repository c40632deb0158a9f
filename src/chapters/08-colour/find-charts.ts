import type { MeasureContext } from "#documents/chapter";
import type { Finding } from "#documents/finding";
import type { ChartSaid } from "#documents/said";
import type { Curve } from "#science/colour/curve";
import { type Placement, sittingFromLocal } from "#science/placement/placement";
import { chartsSaidOf, shootChartByHand } from "./chart-by-hand.ts";
import type { Camera } from "./colour-inputs.ts";
import { cornersOutside, judgeByHand } from "./judge-by-hand.ts";
import { judgeShot } from "./judge-shot.ts";
import type { ChartShown } from "./plan-setups.ts";
import { type LookedThrough, seekCharts } from "./seek-chart.ts";
import { shootChart } from "./shoot-chart.ts";

/** All that one camera's pictures say of charts. */
export interface CameraCharts {
  readonly camera: Camera;
  readonly curve: Curve | undefined;
  readonly shown: readonly (ChartShown & { readonly byHand: boolean })[];
  readonly through: readonly LookedThrough[];
  readonly findings: readonly Finding[];
  /** True where corners were set by hand and nothing could be read between them. */
  readonly isHandLost: boolean;
}

/** Every time that a camera filmed the chart, read and judged: where a person set corners, else wherever it is found. */
export async function findCharts(
  camera: Camera,
  curve: Curve | undefined,
  byHand: readonly ChartSaid[],
  placed: Readonly<Record<string, Placement>>,
  context: MeasureContext,
  progress: (done: number) => void,
): Promise<CameraCharts> {
  const findings: Finding[] = [];
  const shown: CameraCharts["shown"][number][] = [];
  const sittingTime = (hash: string, at: number): number | null => {
    const placement = placed[hash];
    return placement ? sittingFromLocal(placement, at) : null;
  };
  const said = chartsSaidOf(camera, byHand);
  for (const hand of said) {
    const shot = await shootChartByHand(hand, context);
    if (!shot) {
      findings.push(cornersOutside(camera.device, hand));
      continue;
    }
    const judged = judgeByHand(camera.device, shot, curve);
    shown.push({
      device: camera.device,
      judged,
      sittingAt: sittingTime(hand.recording.hash, shot.at),
      byHand: true,
    });
  }
  const through = said.length > 0 ? [] : await seekCharts(camera, context, progress);
  for (const { recording, showings } of through) {
    for (const showing of showings) {
      const shot = await shootChart(showing, context);
      if (!shot) continue;
      const judged = judgeShot(camera.device, shot, curve);
      shown.push({
        device: camera.device,
        judged,
        sittingAt: sittingTime(recording.hash, shot.at),
        byHand: false,
      });
    }
  }
  return { camera, curve, shown, through, findings, isHandLost: said.length > 0 && shown.length === 0 };
}
