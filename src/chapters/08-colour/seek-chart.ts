import type { MeasureContext } from "#documents/chapter";
import type { SmallPicture } from "#documents/media-reader";
import type { Recording } from "#documents/recording";
import { type BlockLook, blockLook, changedArea } from "#science/vision/block-look";
import { type ChartPlace, chartCorners, scalePlace } from "#science/vision/chart-place";
import { findChart } from "#science/vision/find-chart";
import { findChartWithin } from "#science/vision/find-chart-within";
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
  /** Patches outside the picture. */
  readonly outside?: number;
  /** How far its edges spread, as a part of a patch. */
  readonly edgeWidth?: number;
  /** Patches that it moved since the sighting beside it; null where there is none. */
  readonly moved: number | null;
}

/** What a look through one recording saw. */
export interface LookedThrough {
  readonly recording: Recording;
  /** Each time that the chart was shown, its sightings in order. */
  readonly showings: readonly (readonly Sighting[])[];
  /** Mean colours of the picture's parts, every few seconds. */
  readonly looks: readonly BlockLook[];
}

const seekWidth = 640;
/** Pictures closer than this show the same chart. */
const leastStepSeconds = 0.45;
/** Long recordings are looked through more thinly first; a chart is held up for longer than this. */
const thinStepSeconds = 1.5;
const thinFromSeconds = 120;
/** About a sighting everything is looked at. */
const closeSeconds = 4;
/** The chart has left for good once it is not seen for this long. */
const goneAfterSeconds = 8;
const enoughSightings = 24;
/** A chart that stays in the picture is looked at so seldom. */
const staysStepSeconds = 20;
/** Key pictures farther apart than this may miss a chart that was shown in passing. */
const sparseSeconds = 2.5;
const closerLookSeconds = 150;
/** Of the looks that are kept for the drift of white. */
const lookEverySeconds = 8;

/** So many looks without a chart say what was there before. */
const looksWithout = 2;
/** A part of the picture that is looked at is no smaller, pixels. */
const leastArea = { width: 256, height: 144 };

type Seen = Omit<Sighting, "recording" | "moved">;

/** Looks through a camera's key pictures for the chart, every recording to its end. */
export async function seekCharts(
  camera: Camera,
  context: MeasureContext,
  progress: (done: number) => void,
): Promise<LookedThrough[]> {
  const count = camera.recordings.length;
  const through: LookedThrough[] = [];
  for (const [k, recording] of camera.recordings.entries()) {
    const look = () => lookThrough(recording, context, (done) => progress((k + done) / count));
    // The same pictures show the same charts, whatever else of the sitting changes.
    const { seen, looks } = context.remember
      ? await context.remember("charts-2", recording.hash, look)
      : await look();
    through.push({
      recording,
      looks,
      showings: showingsOf(seen).map((one) => withMoves(one.map((s) => ({ ...s, recording, moved: null })))),
    });
  }
  return through;
}

async function lookThrough(
  recording: Recording,
  context: MeasureContext,
  progress: (done: number) => void,
): Promise<{ seen: Seen[]; looks: BlockLook[] }> {
  const duration = recording.readableSeconds ?? recording.probe.durationSeconds;
  const isLong = duration > thinFromSeconds;
  const report = (at: number): void => progress(Math.min(1, at / Math.max(duration, 1)));
  const wish = { maxWidth: seekWidth, ...(isLong ? { spacingSeconds: thinStepSeconds } : {}) };
  const thin = await seekIn(recording, context.media.keyPictures(recording, wish), context, report);
  let { seen } = thin;
  if (isLong) {
    for (const showing of showingsOf(thin.seen)) {
      const close = {
        maxWidth: seekWidth,
        startSeconds: Math.max(0, showing[0]!.at - closeSeconds),
        endSeconds: Math.min(showing[0]!.at + closeSeconds, duration),
      };
      const more = await seekIn(recording, context.media.keyPictures(recording, close), context, () => {});
      seen = [...seen, ...more.seen];
    }
    seen.sort((p, q) => p.at - q.at);
    seen = seen.filter(({ at }, i) => i === 0 || at - seen[i - 1]!.at > 0.01);
  }
  if (seen.length === 0 && thin.meanGapSeconds > sparseSeconds) {
    const closer = await seekIn(
      recording,
      context.media.pictures(recording, {
        maxWidth: seekWidth,
        startSeconds: 0,
        endSeconds: Math.min(duration, closerLookSeconds),
        perSecond: 1,
      }),
      context,
      report,
    );
    seen = closer.seen;
  }
  return { seen, looks: thin.looks };
}

async function seekIn(
  recording: Recording,
  pictures: AsyncIterable<SmallPicture>,
  context: MeasureContext,
  report: (at: number) => void,
): Promise<{ seen: Seen[]; looks: BlockLook[]; meanGapSeconds: number }> {
  const seen: Seen[] = [];
  const looks: BlockLook[] = [];
  let looked = Number.NEGATIVE_INFINITY;
  let first: number | null = null;
  let last = 0;
  let count = 0;
  let without: BlockLook[] = [];
  for await (const picture of pictures) {
    context.signal.throwIfAborted();
    const at = picture.atSeconds;
    first ??= at;
    last = at;
    count++;
    const recent = seen.filter((s) => at - s.at < goneAfterSeconds + staysStepSeconds).length;
    if (at - looked < (recent >= enoughSightings ? staysStepSeconds : leastStepSeconds)) continue;
    looked = at;
    report(at);
    const look = blockLook(picture);
    if (at - (looks.at(-1)?.at ?? Number.NEGATIVE_INFINITY) >= lookEverySeconds) looks.push(look);
    // What nothing came into since there was no chart in it has none either. A chart that was in motion and so was
    // missed still counts as a change at the looks after.
    const isKnown = without.length === looksWithout;
    const area = isKnown ? changedArea(without, look, picture, leastArea) : null;
    const found = isKnown ? area && findChartWithin(picture, area) : findChart(picture);
    without = found ? [] : [...without.slice(1 - looksWithout), look];
    if (!found) continue;
    const place = scalePlace(found.place, displayedWidth(recording) / picture.width);
    seen.push({
      at,
      place,
      corners: chartCorners(place),
      likeness: found.likeness,
      hidden: found.hidden.length,
      ...(found.outside ? { outside: found.outside.length } : {}),
      edgeWidth: chartEdgeWidth(toPlanes(picture), found.place),
    });
  }
  return { seen, looks, meanGapSeconds: count > 1 ? (last - first!) / (count - 1) : last === 0 ? 1e9 : last };
}

/** Sightings parted where the chart was away. */
function showingsOf(seen: readonly Seen[]): Seen[][] {
  const showings: Seen[][] = [];
  for (const one of seen) {
    const open = showings.at(-1);
    const longest =
      (open?.length ?? 0) >= enoughSightings ? goneAfterSeconds + staysStepSeconds : goneAfterSeconds;
    if (open && one.at - open.at(-1)!.at <= longest) open.push(one);
    else showings.push([one]);
  }
  return showings;
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
    0.2 * (s.hidden ?? 0) -
    ((s.outside ?? 0) > 0 ? 2 + 0.2 * s.outside! : 0);
  return [...sightings].sort((p, q) => score(q) - score(p));
}
