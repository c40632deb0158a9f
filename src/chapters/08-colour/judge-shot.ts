import type { Finding } from "#documents/finding";
import { type ChartLight, readChartLight } from "#science/colour/chart-light";
import type { ChartShot } from "#science/colour/chart-shot";
import { chart24Names, chart24Neutrals } from "#science/colour/chart24";
import type { Curve } from "#science/colour/curve";
import { findChartFaults, stopsOverRange } from "#science/vision/chart-faults";
import { areasOfPatches } from "./fault-areas.ts";
import type { ShotOfChart } from "./shoot-chart.ts";
import { tellCut } from "./tell-cut.ts";
import { capital, clockTime, listOf, oneDecimal } from "./words.ts";

/** What a chart shot is worth. */
export interface JudgedShot {
  readonly camera: string;
  readonly shot: ShotOfChart;
  readonly forMatch: ChartShot;
  readonly light: ChartLight;
  /** Sentences for `charts[].problems`. */
  readonly problems: readonly string[];
  readonly findings: readonly Finding[];
  /** Why it cannot be used; null where it can. */
  readonly refused: string | null;
}

/** A patch counts as clipped where this share of its samples is. */
const clippedFrom = 0.25;
const tooSmallPixels = 7;
const smallPixels = 14;
const unevenStops = 0.3;
const tooUnevenStops = 1.5;
const mixedStops = 0.2;
const movedPatches = 0.12;
/** Parts of a patch over which its edge spreads; its middle half is read. */
const softEdge = 0.3;
const tooSoftEdge = 0.5;

/** Judges one camera's shot of the chart: what is clipped, crushed, uneven, mixed, small, moved, and the remedy. */
export function judgeShot(camera: string, shot: ShotOfChart, curve?: Curve): JudgedShot {
  const { reading } = shot;
  const { codes } = reading;
  const transfer = shot.sighting.recording.probe.picture!.colour.transfer;
  const problems: string[] = [];
  const findings: Finding[] = [];
  const where = shot.sighting.recording.path;
  const evidence = { where, from: shot.at };
  const add = (
    code: string,
    weight: Finding["weight"],
    says: string,
    remedy: string,
    figure?: string,
    patches: readonly number[] = [],
  ): void => {
    problems.push(says);
    const areas = areasOfPatches(reading.corners, patches);
    findings.push({
      code,
      weight,
      says,
      remedy,
      evidence: { ...evidence, ...(figure && { figure }), ...(areas.length > 0 && { areas }) },
    });
  };
  const at = clockTime(shot.at);

  const clipped = codes.map((_, i) => i).filter((i) => reading.clippedShare[i]! >= clippedFrom);
  const outOfSight = [...(reading.hidden ?? []), ...(reading.outside ?? [])];
  const flattened = ![18, 19, 20].some((i) => outOfSight.includes(i)) && whitesFlattened(codes);
  let refused: string | null = null;
  if (clipped.some((i) => chart24Neutrals.includes(i)) || clipped.length > 3 || flattened) {
    const which =
      clipped.length > 0 ? listOf(clipped.map((i) => chart24Names[i]!)) : "the two lightest greys";
    refused = `Camera ${camera}'s shot of the chart is clipped: ${which} ${clipped.length === 1 ? "is" : "are"} at the top of the range.`;
    add(
      "colour.chart-clipped",
      "stop",
      refused,
      `Film the chart again at ${lessExposure(codes, new Set(clipped))} less, in the same light. Nothing was matched from this shot.`,
      at,
    );
  } else if (clipped.length > 0) {
    add(
      "colour.patches-clipped",
      "note",
      `${capital(listOf(clipped.map((i) => chart24Names[i]!)))} ${clipped.length === 1 ? "is" : "are"} clipped in camera ${camera}'s shot of the chart and left out of the match.`,
      "Nothing to do now. Next time film the chart half a stop darker.",
    );
  }
  const crushed = codes.map((_, i) => i).filter((i) => reading.crushedShare[i]! >= 0.5);
  if (crushed.length > 0) {
    add(
      "colour.chart-crushed",
      crushed.includes(22) ? "warn" : "note",
      `In camera ${camera}'s shot of the chart the red, green or blue of ${listOf(crushed.map((i) => chart24Names[i]!))} was too dark to be recorded.`,
      crushed.includes(22)
        ? "Shadows cannot be matched from it: film the chart again with more light on it, or a stop brighter."
        : "Dark colours as saturated as that are matched less surely. Nothing to do now; next time film the chart half a stop brighter, if its white is not clipped then.",
    );
  }
  if (reading.patchPixels < tooSmallPixels) {
    refused ??= `The chart is too small in camera ${camera}'s picture: its patches are ${oneDecimal(reading.patchPixels)} pixels wide.`;
    add(
      "colour.chart-too-small",
      "stop",
      `The chart is too small in camera ${camera}'s picture: its patches are ${oneDecimal(reading.patchPixels)} pixels wide.`,
      "Film it again nearer, so that it fills a fifth of the picture's width.",
    );
  } else if (reading.patchPixels < smallPixels) {
    add(
      "colour.chart-small",
      "note",
      `The chart is small in camera ${camera}'s picture: its patches are ${oneDecimal(reading.patchPixels)} pixels wide.`,
      "The match is noisier than it could be. Next time bring the chart nearer.",
    );
  }
  if (shot.moved > movedPatches) {
    add(
      "colour.chart-moved",
      "note",
      `The chart moved in camera ${camera}'s picture at ${at}.`,
      `${shot.frames === 1 ? "One frame was" : `${shot.frames} frames that agree were`} used. Next time hold it still for two seconds.`,
      `${oneDecimal(shot.moved)} patches`,
    );
  }

  const hidden = reading.hidden ?? [];
  if (hidden.length > 0) {
    const greys = hidden.filter((i) => chart24Neutrals.includes(i));
    add(
      "colour.patches-hidden",
      greys.length > 1 ? "warn" : "note",
      `Something lies over ${listOf(hidden.map((i) => chart24Names[i]!))} in camera ${camera}'s shot of the chart: left out of the match.`,
      greys.length > 1
        ? "Film the chart again with the fingers behind it: the greys are needed for white and for the curve."
        : "Nothing to do now. Next time hold the chart by its edge.",
      at,
      hidden,
    );
  }
  if ((reading.edgeWidth ?? 0) > softEdge) {
    add(
      "colour.chart-soft",
      (reading.edgeWidth ?? 0) > tooSoftEdge ? "warn" : "note",
      `The chart is out of focus or blurred in camera ${camera}'s picture at ${at}: its edges spread over ${Math.round(100 * reading.edgeWidth!)} % of a patch.`,
      (reading.edgeWidth ?? 0) > tooSoftEdge
        ? "Film it again in focus and held still: colours run into each other here."
        : "Only the middle of each patch was read. Nothing to do.",
      `${Math.round(100 * reading.edgeWidth!)} % of a patch`,
    );
  }

  const outside = reading.outside ?? [];
  if (outside.length > 0) {
    const told = tellCut(camera, at, shot);
    if (told.isRefused) refused ??= told.says;
    add("colour.chart-cut", told.isRefused ? "stop" : "warn", told.says, told.remedy, told.figure);
  }

  const unusable = [
    ...new Set([...clipped.filter((i) => !chart24Neutrals.includes(i)), ...hidden, ...outside]),
  ];
  const plain: ChartShot = { codes, transfer, unusable, ...(curve ? { curve } : {}) };
  const light = readChartLight(plain);
  if (refused === null && light.fallOffStops >= unevenStops) {
    const stops = oneDecimal(light.fallOffStops);
    if (light.fallOffStops > tooUnevenStops) {
      add(
        "colour.chart-uneven",
        "warn",
        `The light falls off by ${stops} stops across the chart in camera ${camera}'s picture.`,
        "One stop of it was corrected. Film the chart again where the sitter's face is, turned to the key light.",
        `${stops} stops`,
      );
    } else {
      add(
        "colour.chart-uneven",
        "note",
        `The light falls off by ${stops} stops across the chart in camera ${camera}'s picture.`,
        "It was corrected before the match. Nothing to do.",
        `${stops} stops`,
      );
    }
  }
  if (refused === null && light.tintSpreadStops > mixedStops) {
    add(
      "colour.mixed-light",
      "warn",
      `The greys of the chart do not share one tint in camera ${camera}'s picture: two lights of different colour meet on it.`,
      "Film the chart again where the sitter's face is, or switch one of the lights off. The match is a mean of the two.",
      `${oneDecimal(light.tintSpreadStops)} stops`,
    );
  }
  const faults =
    refused === null
      ? findChartFaults({ ...plain, illumination: light.illumination }, reading.frame ?? null)
      : null;
  if (faults?.glare) {
    const part = Math.round(100 * faults.glare.partOfWhite);
    add(
      "colour.chart-glare",
      "warn",
      `Light glares off the chart near ${chart24Names[faults.glare.patch]!} in camera ${camera}'s picture: the black frame there is lifted by ${part} % of white.`,
      "Tilt the chart a little, until its black frame looks black to the camera, and film it again.",
      `${part} % of white`,
      [faults.glare.patch],
    );
  }
  if (faults?.shadow) {
    const stops = oneDecimal(faults.shadow.stops);
    add(
      "colour.chart-shadow",
      "warn",
      `The edge of a shadow lies across the chart in camera ${camera}'s picture: ${faults.shadow.patches.length} of its patches are ${stops} stops darker.`,
      "Film the chart again with the whole of it in one light. Until then the match leans on both.",
      `${stops} stops`,
      faults.shadow.patches,
    );
  }
  return {
    camera,
    shot,
    forMatch: { ...plain, illumination: light.illumination },
    light,
    problems,
    findings,
    refused,
  };
}

/** What to take off the exposure, to the next half stop, in words. */
function lessExposure(codes: ShotOfChart["reading"]["codes"], clipped: ReadonlySet<number>): string {
  const halves = Math.max(1, Math.ceil(2 * (stopsOverRange(codes, clipped) + 0.1)));
  const whole = Math.floor(halves / 2);
  if (halves === 1) return "half a stop";
  if (halves === 2) return "a stop";
  return halves % 2 === 0 ? `${whole} stops` : `${whole === 1 ? "one" : whole} and a half stops`;
}

/** White and the grey beside it at nearly one value: clipped below the range's top, as log recordings clip. */
function whitesFlattened(codes: ShotOfChart["reading"]["codes"]): boolean {
  return [0, 1, 2].some((c) => {
    const [white, light, middle] = [codes[18]![c]!, codes[19]![c]!, codes[20]![c]!];
    return white - light < 0.2 * (light - middle);
  });
}
