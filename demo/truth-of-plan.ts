import type { ChartTruth, DemoTruth, FileTruth, Stretch } from "./demo-truth.ts";
import { type DeviceClock, localToSitting, sittingToLocal } from "./device-clock.ts";
import { cameraA, cameraB } from "./picture/camera-colour.ts";
import { chartCentre, chartCorners } from "./picture/chart-card.ts";
import { project } from "./picture/lens-view.ts";
import { headCentre } from "./picture/miller-shape.ts";
import { patchDifference } from "./picture/patch-difference.ts";
import { slideAt } from "./picture/staged-moves.ts";
import { viewOfCameraA, viewOfCameraB } from "./picture/staging.ts";
import { cameraALog } from "./picture/tone-curves.ts";
import { frameRate, type SittingPlan } from "./sitting-plan.ts";
import { voiceTravelSeconds } from "./sound/microphones.ts";
import { speedOfSound } from "./sound/room-response.ts";

/** Where the chart's corners are in a camera's picture at a moment of the sitting. */
export function cornersAt(
  camera: "A" | "B",
  width: number,
  height: number,
  sitting: number,
): [number, number][] {
  const view = camera === "A" ? viewOfCameraA(width, height) : viewOfCameraB(width, height);
  const slide = camera === "B" ? slideAt(sitting) : 0;
  const shift =
    view.focalPixels * slide * (1 / project(view, headCentre).depth - 1 / project(view, chartCentre).depth);
  return chartCorners(view).map(([x, y]) => [x + shift, y]);
}

function chartTruth(plan: SittingPlan, camera: "A" | "B", path: string, clock: DeviceClock): ChartTruth {
  const shown: Stretch = { start: Math.max(plan.talk.chart.start, clock.offset), end: plan.talk.chart.end };
  const shownLocal = { start: sittingToLocal(clock, shown.start), end: sittingToLocal(clock, shown.end) };
  const corners: { atLocal: number; corners: [number, number][] }[] = [];
  for (let t = Math.ceil(shownLocal.start * frameRate) / frameRate; t <= shownLocal.end; t += 1)
    corners.push({
      atLocal: t,
      corners: cornersAt(camera, plan.wish.width, plan.wish.height, localToSitting(clock, t)),
    });
  return { camera, path, shown, shownLocal, corners };
}

/** Everything that is true of the sitting that this plan makes. */
export function truthOfPlan(plan: SittingPlan): DemoTruth {
  const { wish, talk, takes } = plan;
  const ending = (device: "A" | "B"): string => (wish.soundOnly ? "wav" : device === "A" ? "mov" : "mp4");
  const lav = voiceTravelSeconds("lav");
  const boom = voiceTravelSeconds("boom");
  const scratch = voiceTravelSeconds("scratch");
  const pathA = `cards/A/A001.${ending("A")}`;
  const files: FileTruth[] = [
    {
      path: pathA,
      device: "A",
      seconds: wish.seconds,
      offset: 0,
      ratePpm: 0,
      pictureOffset: 0,
      channels: [
        { channel: 1, role: "lav", voiceTravel: lav },
        { channel: 2, role: "boom", voiceTravel: boom },
      ],
    },
    ...takes.map(
      (take): FileTruth => ({
        path: `cards/B/${take.name}.${ending("B")}`,
        device: "B",
        seconds: take.seconds,
        // what she says is heard later at the camera than at the lav: the sound lies that much later in the file
        offset: take.clock.offset - (scratch - lav),
        ratePpm: take.clock.ratePpm,
        pictureOffset: take.clock.offset,
        channels: [{ channel: 1, role: "scratch", voiceTravel: scratch }],
      }),
    ),
  ];
  const softTake = takes.find((take) => {
    const local = sittingToLocal(take.clock, plan.soft.start);
    return local >= 0 && local < take.seconds;
  });
  const inTakes = takes.map((take, k) => ({ take, path: files[k + 1]!.path }));
  const soft = softTake && inTakes.find((t) => t.take === softTake)!;
  return {
    kind: "gemel.demo-truth",
    version: 1,
    seed: wish.seed,
    seconds: wish.seconds,
    soundOnly: wish.soundOnly,
    frameRate: { num: frameRate, den: 1 },
    width: wish.width,
    height: wish.height,
    master: pathA,
    files,
    boomDelay: boom - lav,
    speedOfSound,
    speech: talk.spoken.map(({ start, end, who, text, exchange }) => ({ start, end, who, text, exchange })),
    exchanges: talk.exchanges,
    falseStarts: talk.spoken.filter((s) => s.mark === "falseStart").map(({ start, end }) => ({ start, end })),
    longPauses: talk.spoken.flatMap((s, k) =>
      s.mark === "longPause" ? [{ start: talk.spoken[k - 1]!.end, end: s.start }] : [],
    ),
    rustle: plan.rustle,
    clap: talk.clapAt,
    soft:
      soft && !wish.soundOnly
        ? {
            sitting: plan.soft,
            path: soft.path,
            local: {
              start: sittingToLocal(soft.take.clock, plan.soft.start),
              end: sittingToLocal(soft.take.clock, plan.soft.end),
            },
          }
        : null,
    charts: wish.soundOnly
      ? []
      : [
          chartTruth(plan, "A", pathA, { offset: 0, ratePpm: 0 }),
          chartTruth(plan, "B", files[1]!.path, takes[0].clock),
        ],
    colour: wish.soundOnly
      ? null
      : {
          curveA: { ...cameraALog },
          patches: { A: cameraA.patches.map((p) => [...p]), B: cameraB.patches.map((p) => [...p]) },
          differenceBefore: patchDifference(),
        },
  };
}
