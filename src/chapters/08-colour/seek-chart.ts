import type { MeasureContext } from "#documents/chapter";
import type { SmallPicture } from "#documents/media-reader";
import type { Recording } from "#documents/recording";
import { type ChartPlace, chartCorners, scalePlace } from "#science/vision/chart-place";
import { findChart } from "#science/vision/find-chart";
import type { Point } from "#science/vision/homography";
import { toPlanes } from "#science/vision/planes";
import { patchPixelsOf } from "#science/vision/read-chart";
import { chartEdgeWidth } from "#science/vision/read-chart-frame";
import type { Camera } from "./colour-inputs.ts";

/** A moment at which a chart was seen, and where, in the recording's full-size pixels. */
export interface Sighting {
  readonly recording: Recording;
  readonly at: number;
  readonly place: ChartPlace;
  readonly corners: readonly [Point, Point, Point, Point];
  readonly likeness: number;
  /** Patches that something lies over. */
  readonly hidden?: number;
  /** How far its edges spread, as a part of a patch. */
  readonly edgeWidth?: number;
  /** Patches that it moved since the sighting beside it; null where there is none. */
  readonly moved: number | null;
}

const seekWidth = 640;
/** Pictures closer than this show the same chart. */
const leastStepSeconds = 0.45;
/** Looked at per recording, at most; a longer one is looked at more thinly. */
const mostLooks = 700;
/** The chart has left for good once it is not seen for this long. */
const goneAfterSeconds = 8;
const enoughSightings = 24;
/** Key pictures farther apart than this may miss a chart that was shown in passing. */
const sparseSeconds = 2.5;
const closerLookSeconds = 150;

/**
 * Looks through a camera's key pictures for the chart, recording by recording, until one has it.
 *
 * Where key pictures are few and show none, the first minutes are looked at once a second.
 */
export async function seekChart(
  camera: Camera,
  context: MeasureContext,
  progress: (done: number) => void,
): Promise<Sighting[]> {
  const count = camera.recordings.length;
  for (const [k, recording] of camera.recordings.entries()) {
    const duration = recording.readableSeconds ?? recording.probe.durationSeconds;
    const report = (at: number): void => progress((k + Math.min(1, at / Math.max(duration, 1))) / count);
    const step = Math.max(leastStepSeconds, duration / mostLooks);
    const keys = await seekIn(
      recording,
      context.media.keyPictures(recording, { maxWidth: seekWidth }),
      step,
      context,
      report,
    );
    if (keys.sightings.length > 0) return withMoves(keys.sightings);
    if (keys.meanGapSeconds > sparseSeconds) {
      const closer = await seekIn(
        recording,
        context.media.pictures(recording, {
          maxWidth: seekWidth,
          startSeconds: 0,
          endSeconds: Math.min(duration, closerLookSeconds),
          perSecond: 1,
        }),
        step,
        context,
        report,
      );
      if (closer.sightings.length > 0) return withMoves(closer.sightings);
    }
  }
  return [];
}

async function seekIn(
  recording: Recording,
  pictures: AsyncIterable<SmallPicture>,
  step: number,
  context: MeasureContext,
  report: (at: number) => void,
): Promise<{ sightings: Sighting[]; meanGapSeconds: number }> {
  const sightings: Sighting[] = [];
  let looked = Number.NEGATIVE_INFINITY;
  let first: number | null = null;
  let last = 0;
  let seen = 0;
  for await (const picture of pictures) {
    context.signal.throwIfAborted();
    first ??= picture.atSeconds;
    last = picture.atSeconds;
    seen++;
    if (picture.atSeconds - looked < step) continue;
    looked = picture.atSeconds;
    report(looked);
    const found = findChart(picture);
    if (found) {
      const fullWidth = recording.probe.picture ? displayedWidth(recording) : picture.width;
      const place = scalePlace(found.place, fullWidth / picture.width);
      sightings.push({
        recording,
        at: picture.atSeconds,
        place,
        corners: chartCorners(place),
        likeness: found.likeness,
        hidden: found.hidden.length,
        edgeWidth: chartEdgeWidth(toPlanes(picture), found.place),
        moved: null,
      });
      if (sightings.length >= enoughSightings) break;
    } else if (sightings.length > 0 && picture.atSeconds - sightings.at(-1)!.at > goneAfterSeconds) break;
  }
  return { sightings, meanGapSeconds: seen > 1 ? (last - first!) / (seen - 1) : last === 0 ? 1e9 : last };
}

/** Width as displayed: turned recordings are as wide as they were high. */
function displayedWidth(recording: Recording): number {
  const picture = recording.probe.picture!;
  return picture.rotationDegrees % 180 === 0 ? picture.width : picture.height;
}

function withMoves(sightings: readonly Sighting[]): Sighting[] {
  return sightings.map((one, i) => {
    const patch = patchPixelsOf(one.place);
    const moves = [sightings[i - 1], sightings[i + 1]].flatMap((other) =>
      other && Math.abs(other.at - one.at) < 3
        ? [
            Math.max(
              ...one.corners.map((p, k) =>
                Math.hypot(p[0] - other.corners[k]![0], p[1] - other.corners[k]![1]),
              ),
            ) / patch,
          ]
        : [],
    );
    return { ...one, moved: moves.length > 0 ? Math.min(...moves) : null };
  });
}

/** Best moments first: still, sharp, whole, large, and in colours like the chart's, as even light leaves them. */
export function bestMoments(sightings: readonly Sighting[]): Sighting[] {
  const score = (s: Sighting): number =>
    4 * s.likeness +
    0.5 * Math.log2(Math.max(patchPixelsOf(s.place), 1)) -
    1.5 * Math.min(1, s.moved ?? 0.5) -
    2 * Math.min(0.6, s.edgeWidth ?? 0) -
    0.2 * (s.hidden ?? 0);
  return [...sightings].sort((p, q) => score(q) - score(p));
}
