import type { ClockResult } from "#documents/chapter-results";
import type { Recording } from "#documents/recording";
import type { Listened } from "./fine.ts";
import { secondsBetween, timeOfDay } from "./time-of-day.ts";

type Row = ClockResult["recordings"][number];

/** What a label or a device's clock said beside the sound, for the findings. */
export interface LabelNote {
  readonly index: number;
  readonly kind: "disagrees" | "contradicted";
  /** Offset by the label, sitting time. */
  readonly offset: number;
  readonly label: string;
}

/** Heard side by side this long without anything in common, two recordings were not made together. */
const contradictedSeconds = 10;
/** A device's own date is written in whole seconds. Common practice. */
const deviceClockDoubtSeconds = 1;

/**
 * Places what sound could not: by timecode or BWF time reference against a placed recording that has one, else by
 * the date of another recording of the same device. Not where sound speaks against it: two recordings that both
 * heard something and would overlap, yet share nothing, are not laid on each other by a label.
 */
export function placeOtherwise(
  recordings: readonly Recording[],
  rows: readonly Row[],
  heard: readonly (Listened | null)[],
  master: number,
): { rows: Row[]; notes: LabelNote[] } {
  const notes: LabelNote[] = [];
  const bySound = rows
    .flatMap((row, i) => (row.placedBy === "none" ? [] : [i]))
    .sort((a, b) => Number(b === master) - Number(a === master));
  const isContradicted = (i: number, offset: number) =>
    heard[i] !== null &&
    bySound.some((p) => {
      if (!heard[p]) return false;
      const start = rows[p]!.offset!;
      const overlap =
        Math.min(start + rows[p]!.durationSeconds, offset + rows[i]!.durationSeconds) -
        Math.max(start, offset);
      return overlap >= contradictedSeconds;
    });
  const placed = rows.map((row, i): Row => {
    const own = timeOfDay(recordings[i]!);
    const anchor = own && bySound.find((p) => p !== i && timeOfDay(recordings[p]!));
    const anchorTime = anchor === null || anchor === undefined ? null : timeOfDay(recordings[anchor]!);
    const offset = own && anchorTime ? rows[anchor!]!.offset! + secondsBetween(own, anchorTime) : null;
    if (row.placedBy !== "none") {
      if (i !== master && own && offset !== null && Math.abs(offset - row.offset!) > 0.1)
        notes.push({ index: i, kind: "disagrees", offset, label: own.label });
      return row;
    }
    const at = (
      placedBy: Row["placedBy"],
      where: number,
      uncertainty: number,
      ratePpm: number,
      confidence: number,
    ): Row => ({
      ...row,
      placedBy,
      offset: where,
      ratePpm,
      // A label names the picture's own moment; no sound travelled.
      pictureOffset: recordings[i]!.probe.picture ? where : null,
      confidence,
      uncertainty,
    });
    const siblings = bySound.filter((p) => recordings[p]!.device === recordings[i]!.device);
    const rate = siblings.length > 0 ? rows[siblings[0]!]!.ratePpm! : 0;
    if (own && offset !== null) {
      if (!isContradicted(i, offset))
        return at("timecode", offset, Math.max(own.grain, anchorTime!.grain), rate, 0.6);
      notes.push({ index: i, kind: "contradicted", offset, label: own.label });
    }
    const created = Date.parse(recordings[i]!.probe.createdAt ?? "");
    const sibling = siblings.find((p) => !Number.isNaN(Date.parse(recordings[p]!.probe.createdAt ?? "")));
    if (!Number.isNaN(created) && sibling !== undefined) {
      const apart = (created - Date.parse(recordings[sibling]!.probe.createdAt!)) / 1000;
      const where = rows[sibling]!.offset! + apart;
      // Two files of one device cannot overlap, and another day's file is not of this sitting.
      const isPossible =
        Math.abs(apart) < 43_200 &&
        (apart >= rows[sibling]!.durationSeconds - 2 || -apart >= row.durationSeconds - 2);
      if (isPossible && !isContradicted(i, where))
        return at("deviceClock", where, deviceClockDoubtSeconds, rate, 0.25);
    }
    return row;
  });
  return { rows: placed, notes };
}
