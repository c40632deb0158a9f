import type { MeasureContext } from "#documents/chapter";
import type { ColourResult } from "#documents/chapter-results";
import type { Finding } from "#documents/finding";
import { writeColorCorrectionCollection } from "#formats/cdl/write-cdl";
import type { Curve } from "#science/colour/curve";
import { fitCdl } from "#science/colour/fit-cdl";
import type { Triple } from "#science/colour/matrix3";
import { type DriftSample, driftSpan, whiteDrift } from "#science/colour/white-drift";
import { type Placement, sittingFromLocal } from "#science/placement/placement";
import type { LookedThrough } from "./seek-chart.ts";
import { clockTime, oneDecimal } from "./words.ts";

type Drift = NonNullable<ColourResult["drift"]>[number];

/** A tint that moves by this much is seen in a cut, stops between two channels; light by this much. */
const tintSeen = 0.08;
const lightSeen = 0.25;
const mostSamples = 240;
/** The slow correction has one step so often. */
const stepSeconds = 60;

/**
 * Drift of a camera's white through each of its setups, as all that stays in the picture shows it; told where it
 * would be seen, with a slow correction that can be laid on.
 */
export async function findDrift(
  device: string,
  through: readonly LookedThrough[],
  setups: readonly { readonly from: number | null; readonly to: number | null }[],
  placed: Readonly<Record<string, Placement>>,
  curve: Curve,
  context: MeasureContext,
): Promise<{ drift: Drift[]; findings: Finding[] }> {
  const drift: Drift[] = [];
  const findings: Finding[] = [];
  for (const { recording, looks, showings } of through) {
    const placement = placed[recording.hash];
    const timeOf = (at: number): number => (placement ? sittingFromLocal(placement, at) : at);
    const isChart = (at: number): boolean =>
      showings.some((one) => at > one[0]!.at - 4 && at < one.at(-1)!.at + 4);
    for (const { from, to } of setups) {
      const own = looks.filter(({ at }) => {
        const time = timeOf(at);
        return (
          !isChart(at) &&
          time >= (from ?? Number.NEGATIVE_INFINITY) &&
          time < (to ?? Number.POSITIVE_INFINITY)
        );
      });
      const samples = whiteDrift(own, curve).map((one) => ({
        ...one,
        at: Math.round(10 * timeOf(one.at)) / 10,
      }));
      if (samples.length === 0) continue;
      const span = driftSpan(samples);
      const tint = Math.max(span.redStops, span.blueStops);
      if (tint < tintSeen && span.lightStops < lightSeen) continue;
      const begins = samples[0]!.at;
      const file = await context.writeText(
        `camera-${device.toLowerCase()}-drift-${drift.length + 1}.ccc`,
        slowCorrection(device, samples, curve),
      );
      drift.push({
        camera: device,
        from: begins,
        to: samples.at(-1)!.at,
        ...span,
        samples: thinned(samples),
        file,
      });
      const what =
        tint >= tintSeen
          ? `white drifts by ${tint.toFixed(2)} stop between red, green and blue`
          : `light drifts by ${oneDecimal(span.lightStops)} stops`;
      findings.push({
        code: "colour.white-drift",
        weight: tint >= 2 * tintSeen || span.lightStops >= 2 * lightSeen ? "warn" : "note",
        says: `Camera ${device}'s ${what} through ${recording.path}, between ${clockTime(begins)} and ${clockTime(samples.at(-1)!.at)}.`,
        remedy:
          "A slow correction, one step a minute, lies beside the LUTs: lay it on where the drift is seen. Next time shade the window, or lock the white balance.",
        evidence: {
          where: recording.path,
          from: begins,
          to: samples.at(-1)!.at,
          figure: `${tint.toFixed(2)} stop`,
        },
      });
    }
  }
  return { drift, findings };
}

/** One ASC CDL a minute that takes the drift off, on the camera's own code values. */
function slowCorrection(device: string, samples: readonly DriftSample[], curve: Curve): string {
  const steps: { readonly id: string; readonly at: number; readonly gains: Triple }[] = [];
  for (const { at, redStops, blueStops, lightStops } of samples) {
    if (steps.length > 0 && at - steps.at(-1)!.at < stepSeconds) continue;
    const green = 2 ** -lightStops;
    steps.push({
      id: `camera-${device.toLowerCase()}-at-${Math.round(at)}s`,
      at,
      gains: [green * 2 ** -redStops, green, green * 2 ** -blueStops],
    });
  }
  // Greys and tinted greys over the range that faces and rooms lie in.
  const codes = [0.02, 0.05, 0.1, 0.18, 0.35, 0.6, 0.9].flatMap((light): Triple[] => [
    [curve.toCode(light), curve.toCode(light), curve.toCode(light)],
    [curve.toCode(light), curve.toCode(0.7 * light), curve.toCode(0.5 * light)],
  ]);
  const asLightness = (code: Triple): Triple => [
    100 * code[1],
    100 * (code[0] - code[1]),
    100 * (code[1] - code[2]),
  ];
  return writeColorCorrectionCollection(
    steps.map(({ id, at, gains }) => {
      const wanted = codes.map((code) =>
        asLightness(code.map((v, c) => curve.toCode(curve.toLight(v) * gains[c]!)) as unknown as Triple),
      );
      return {
        id,
        cdl: fitCdl(codes, wanted, asLightness),
        descriptions: [
          `Takes the drift of camera ${device}'s white off from ${clockTime(at)} on, for a minute; ease from one to the next. Before the LUT, on full-range code values.`,
        ],
      };
    }),
  );
}

function thinned(samples: readonly DriftSample[]): DriftSample[] {
  const every = Math.ceil(samples.length / mostSamples);
  return samples.filter((_, i) => i % every === 0);
}
