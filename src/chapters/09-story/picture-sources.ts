import type { Recording } from "#documents/recording";
import { localFromSitting, picturePlacement, sittingFromLocal } from "#science/placement/placement";
import type { StoryInputs } from "./story-inputs.ts";
import type { CutSource } from "./story-material.ts";

/** A source of pictures with the recording it comes from. */
export interface PlacedSource extends CutSource {
  readonly recording: Recording;
}

/** Pictures beside a range to be avoided are not to be trusted either: what was looked at has gaps; seconds. */
const margin = 0.1;

/** Every placed camera recording, what sitting time its picture covers and what in it must be avoided. */
export function pictureSources({ recordings, placed, bad }: StoryInputs): PlacedSource[] {
  return recordings.flatMap((recording): PlacedSource[] => {
    const { picture } = recording.probe;
    const at = placed.find(({ hash }) => hash === recording.hash);
    const placement = at ? picturePlacement(at) : null;
    if (recording.kind !== "camera" || !picture || !placement) return [];
    const first = picture.startSeconds;
    const end = Math.min(
      first + picture.durationSeconds,
      recording.readableSeconds ?? Number.POSITIVE_INFINITY,
    );
    if (end <= first) return [];
    const onClock = (t: number): number => sittingFromLocal(placement, t);
    const ranges = bad.find(({ hash }) => hash === recording.hash)?.ranges ?? [];
    return [
      {
        camera: recording.device,
        hash: recording.hash,
        path: recording.path,
        recording,
        placement,
        from: onClock(first),
        to: onClock(end),
        bad: badOnClock(placement, ranges),
      },
    ];
  });
}

/**
 * What the cut must avoid of one recording, on the sitting's clock.
 *
 * @param ranges - Local time, as Watch and a person judged them.
 */
export function badOnClock(
  placement: CutSource["placement"],
  ranges: readonly CutSource["bad"][number][],
): CutSource["bad"][number][] {
  return ranges.map(({ start, end, kind, severity }) => ({
    start: sittingFromLocal(placement, start - margin),
    end: sittingFromLocal(placement, end + margin),
    kind,
    severity,
  }));
}

/** Local times of a source for a stretch of sitting time. */
export function sourceRange(
  source: Pick<CutSource, "placement">,
  start: number,
  end: number,
): { start: number; end: number } {
  return { start: localFromSitting(source.placement, start), end: localFromSitting(source.placement, end) };
}
