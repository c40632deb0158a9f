import type { ClockResult } from "#documents/chapter-results";
import type { Recording } from "#documents/recording";
import { secondsOf } from "./master.ts";

type Row = ClockResult["recordings"][number];

/** Where a device's own date puts a file. */
export interface ByDate {
  readonly offset: number;
  readonly uncertainty: number;
}

/** Another day's file is not of this sitting. */
const mostApartSeconds = 43_200;
/** A device sets its clock no better than it writes it, and begins to record some frames after it reads it. */
const startSlackSeconds = 0.3;

/**
 * Where a recording lies by the dates that its device wrote into it and into others, of which sound placed some.
 *
 * Some devices write when a file was begun, others when it was closed: which, the placed files tell where there
 * are two or more of unlike length; with one, the difference of the lengths is part of the doubt. The doubt is
 * what the date is rounded to, and how far the device's placed files scatter about their own dates.
 *
 * @param placed - Indices of recordings of the same device that sound placed.
 * @returns null where there is no date, no placed file with one, or the place cannot be: files of one device do
 *   not overlap.
 */
export function placeByDate(
  i: number,
  placed: readonly number[],
  recordings: readonly Recording[],
  rows: readonly Row[],
): ByDate | null {
  const own = dateOf(recordings[i]!);
  const siblings = placed.flatMap((p) => {
    const date = dateOf(recordings[p]!);
    return date && Math.abs(date.seconds - (own?.seconds ?? 0)) < mostApartSeconds
      ? [{ p, date, seconds: secondsOf(recordings[p]!) }]
      : [];
  });
  if (!own || siblings.length === 0) return null;
  const length = secondsOf(recordings[i]!);
  // Sitting time less date: the same for all files where the date is what this way of reading takes it for.
  const by = (isClosing: boolean) => {
    const differences = siblings.map(
      ({ p, date, seconds }) => rows[p]!.offset! + (isClosing ? seconds : 0) - date.seconds,
    );
    const mean = differences.reduce((a, b) => a + b, 0) / differences.length;
    const scatter = Math.max(...differences.map((d) => Math.abs(d - mean)));
    return { mean, scatter, offset: own.seconds + mean - (isClosing ? length : 0) };
  };
  const begun = by(false);
  const closed = by(true);
  const best = closed.scatter < begun.scatter - 1 ? closed : begun;
  const isTold = Math.abs(closed.scatter - begun.scatter) > 1;
  const either = isTold ? 0 : Math.abs(closed.offset - begun.offset) / 2;
  const rounding = own.resolution / Math.sqrt(12);
  const uncertainty = Math.hypot(
    rounding,
    rounding / Math.sqrt(siblings.length),
    best.scatter,
    either,
    startSlackSeconds,
  );
  const slack = 2 * uncertainty + 1;
  const overlaps = placed.some((p) => {
    const start = rows[p]!.offset!;
    return best.offset < start + secondsOf(recordings[p]!) - slack && best.offset + length > start + slack;
  });
  return overlaps ? null : { offset: best.offset, uncertainty };
}

/** A file's date, seconds, and what it is rounded to. */
function dateOf({ probe }: Recording): { seconds: number; resolution: number } | null {
  const ms = Date.parse(probe.createdAt ?? "");
  if (Number.isNaN(ms)) return null;
  return { seconds: ms / 1000, resolution: ms % 1000 === 0 ? 1 : 0.001 };
}
