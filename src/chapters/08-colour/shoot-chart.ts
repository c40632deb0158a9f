import type { MeasureContext } from "#documents/chapter";
import { averageReadings, type ChartReading, cornersApart, readChart } from "#science/vision/read-chart";
import { bestMoments, type Sighting } from "./seek-chart.ts";

/** A camera's chart, read from exact frames. */
export interface ShotOfChart {
  readonly sighting: Sighting;
  /** Local time of the first frame read. */
  readonly at: number;
  readonly reading: ChartReading;
  /** Frames that agree on where it lies and were averaged. */
  readonly frames: number;
  /** Farthest that the chart moved between frames, patches. */
  readonly moved: number;
}

const framesWanted = 6;
const momentsTried = 3;
/** Frames whose corners lie farther than this from the first's, in patches, show a chart on the move. */
const still = 0.12;

/** Reads the chart at its best moment from several exact frames; null where no moment reads well. */
export async function shootChart(
  sightings: readonly Sighting[],
  context: MeasureContext,
): Promise<ShotOfChart | null> {
  let best: ShotOfChart | null = null;
  for (const sighting of bestMoments(sightings).slice(0, momentsTried)) {
    const shot = await readMoment(sighting, context);
    if (!shot) continue;
    if (shot.frames >= framesWanted / 2) return shot;
    if (!best || shot.frames > best.frames) best = shot;
  }
  return best;
}

async function readMoment(sighting: Sighting, context: MeasureContext): Promise<ShotOfChart | null> {
  const { recording } = sighting;
  const { num, den } = recording.probe.picture!.frameRate;
  const frameSeconds = den / num;
  const end = recording.readableSeconds ?? recording.probe.durationSeconds;
  const times: number[] = [];
  for (let k = 0; k < framesWanted; k++) {
    // Half a frame on, so that rounding never lands on the frame before.
    const at = sighting.at + (k + 0.5) * frameSeconds;
    if (at < end || k === 0) times.push(at);
  }
  const readings: { at: number; reading: ChartReading }[] = [];
  let place = sighting.place;
  for await (const frame of context.media.framesAt(recording, times)) {
    context.signal.throwIfAborted();
    const reading = readChart(frame, place);
    if (!reading) continue;
    place = reading.place;
    readings.push({ at: frame.atSeconds, reading });
  }
  const first = readings[0];
  if (!first) return null;
  const together = readings.filter(({ reading }) => cornersApart(reading, first.reading) <= still);
  return {
    sighting,
    at: first.at,
    reading: averageReadings(together.map(({ reading }) => reading)),
    frames: together.length,
    moved: Math.max(...readings.map(({ reading }) => cornersApart(reading, first.reading))),
  };
}
