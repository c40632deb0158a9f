import type { MeasureContext } from "#documents/chapter";
import type { Recording } from "#documents/recording";
import type { ChartSaid } from "#documents/said";
import { averageReadings, type ChartReading } from "#science/vision/read-chart";
import { chartPlaceOf, readChartAt } from "#science/vision/read-chart-at";
import type { Camera } from "./colour-inputs.ts";
import type { ShotOfChart } from "./shoot-chart.ts";

/** Frames from the one that was drawn on; a hand holds a chart still for so long. */
const framesRead = 3;

/** Where a person said that the chart lies in a camera's recordings, in their order; the newest word of each counts. */
export function chartsSaidOf(
  camera: Camera,
  byHand: readonly ChartSaid[],
): { said: ChartSaid; recording: Recording }[] {
  return camera.recordings.flatMap((recording) => {
    const said = byHand.findLast(({ hash }) => hash === recording.hash);
    return said ? [{ said, recording }] : [];
  });
}

/**
 * Reads the chart where a person set its corners, on the frame that they were set on.
 *
 * @returns null where there is no such frame, or the corners leave the picture.
 */
export async function shootChartByHand(
  { said, recording }: { said: ChartSaid; recording: Recording },
  context: MeasureContext,
): Promise<ShotOfChart | null> {
  const corners = said.corners as unknown as ChartReading["corners"];
  const place = chartPlaceOf(corners);
  if (!place) return null;
  const { num, den } = recording.probe.picture!.frameRate;
  const end = recording.readableSeconds ?? recording.probe.durationSeconds;
  // Half a frame on, so that rounding never lands on the frame before.
  const times = Array.from({ length: framesRead }, (_, k) => said.at + ((k + 0.5) * den) / num);
  const readings: ChartReading[] = [];
  for await (const frame of context.media.framesAt(
    recording,
    times.filter((at, k) => k === 0 || at < end),
  )) {
    context.signal.throwIfAborted();
    const reading = readChartAt(frame, corners);
    if (reading) readings.push(reading);
  }
  if (readings.length === 0) return null;
  const reading = averageReadings(readings);
  return {
    sighting: { recording, at: said.at, place, corners, likeness: reading.likeness, moved: 0 },
    at: said.at,
    reading,
    frames: readings.length,
    moved: 0,
  };
}
