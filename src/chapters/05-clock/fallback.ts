import type { ClockResult } from "#documents/chapter-results";
import type { Recording } from "#documents/recording";
import type { ChainLink } from "./chains.ts";
import type { ClapHeard } from "./clap-shape.ts";
import type { PlacedClaps } from "./claps.ts";
import { placeByDate } from "./device-date.ts";
import { Labels } from "./labels.ts";
import type { Listened } from "./listened.ts";
import { secondsOf } from "./master.ts";
import { placeBySlate } from "./slate.ts";
import { speakingTogether } from "./speaking-together.ts";
import type { TimeOfDay } from "./time-of-day.ts";

type Row = ClockResult["recordings"][number];

/** What is told of a placement that sound did not make, or of a label that sound speaks against. */
export interface PlacementNote {
  readonly index: number;
  readonly kind: "disagrees" | "contradicted" | "rivals" | "chained" | "broken" | "aloneClap";
  /** Offset by what the note is about, sitting time. */
  readonly offset: number;
  readonly label: string;
  readonly source: TimeOfDay["source"] | "chain" | "slate";
  /** Index of the recording that it hangs on. */
  readonly by?: number;
}

/** Everything beside the sound's placement that may place a recording. */
export interface OtherMeans {
  readonly recordings: readonly Recording[];
  readonly heard: readonly (Listened | null)[];
  readonly master: number;
  readonly times: readonly (TimeOfDay | null)[];
  readonly links: readonly ChainLink[];
  readonly claps: readonly (readonly ClapHeard[])[];
}

/** Heard side by side this long without anything in common, two recordings were not made together. */
const contradictedSeconds = 8;
/** How sure each means is, at its best. */
const confidence = { chain: 0.9, slate: 0.8, aloneClap: 0.35, label: 0.6, rivalLabel: 0.3, date: 0.25 };
/** A chain's neighbour is believed against its own weak placement where it is this many times surer. */
const surer = 3;

/**
 * Places what sound could not, by the surest of what there is: as the continuation of a placed file, by timecode or
 * time reference (made exact by a shared clap where there is one), by claps alone, by the date of other recordings
 * of the same device. Not where sound speaks against it: two recordings that would both hear somebody speak, yet
 * share nothing, are not laid on each other by a label.
 */
export function placeOtherwise(
  soundRows: readonly Row[],
  means: OtherMeans,
): { rows: Row[]; notes: PlacementNote[] } {
  const { recordings, heard, master, times, links, claps } = means;
  const rows = [...soundRows];
  const notes: PlacementNote[] = [];
  const bySound = soundRows.flatMap((row, i) => (row.placedBy === "none" ? [] : [i]));
  const labels = new Labels(soundRows, times, master);
  for (const { index, offset, label, source } of labels.apart())
    notes.push({ index, kind: "disagrees", offset, label, source });
  const placedClaps = bySound
    .filter((p) => heard[p])
    .map(
      (p): PlacedClaps => ({
        hash: soundRows[p]!.hash,
        listened: heard[p]!,
        line: lineOf(soundRows[p]!),
        claps: claps[p]!,
      }),
    );
  alongChains();

  for (let i = 0; i < rows.length; i++) {
    if (rows[i]!.placedBy !== "none") continue;
    const siblings = bySound.filter((p) => recordings[p]!.device === recordings[i]!.device);
    const rate = siblings.length > 0 ? soundRows[siblings[0]!]!.ratePpm! : 0;
    const label = labels.place(i);
    if (label && isContradicted(i, label.offset)) {
      const { label: text, source } = times[i]!;
      notes.push({ index: i, kind: "contradicted", offset: label.offset, label: text, source });
    } else if (label) {
      const reach = Math.max(0.06, 3 * label.uncertainty);
      const slate = placeBySlate(claps[i]!, placedClaps, rate, { offset: label.offset, reach });
      if (slate && slate.uncertainty < label.uncertainty)
        rows[i] = placed(
          i,
          "slate",
          slate.offset,
          slate.uncertainty,
          label.ratePpm ?? rate,
          confidence.slate,
        );
      else {
        const sure = label.isUnanimous ? confidence.label : confidence.rivalLabel;
        rows[i] = placed(i, "timecode", label.offset, label.uncertainty, label.ratePpm ?? rate, sure);
      }
      if (!label.isUnanimous) {
        const { label: text, source } = times[i]!;
        notes.push({ index: i, kind: "rivals", offset: label.offset, label: text, source });
      }
      continue;
    }
    const date = placeByDate(i, siblings, recordings, soundRows);
    const reach = date && { offset: date.offset, reach: Math.max(1.5, 3 * date.uncertainty) };
    const slate = placeBySlate(claps[i]!, placedClaps, rate, reach);
    if (slate && !isContradicted(i, slate.offset)) {
      const sure = slate.isAlone ? confidence.aloneClap : confidence.slate;
      rows[i] = placed(i, "slate", slate.offset, slate.uncertainty, rate, sure);
      if (slate.isAlone)
        notes.push({ index: i, kind: "aloneClap", offset: slate.offset, label: "", source: "slate" });
    } else if (date && !isContradicted(i, date.offset))
      rows[i] = placed(i, "deviceClock", date.offset, date.uncertainty, rate, confidence.date);
  }
  alongChains();
  return { rows, notes };

  function isContradicted(i: number, offset: number): boolean {
    const own = heard[i];
    return (
      own !== null &&
      own !== undefined &&
      bySound.some((p) => {
        const other = heard[p];
        if (!other || recordings[p]!.device === recordings[i]!.device) return false;
        const line = { offset, ratePpm: 0 };
        return speakingTogether(other, lineOf(soundRows[p]!), own, line) >= contradictedSeconds;
      })
    );
  }

  function placed(
    i: number,
    placedBy: Row["placedBy"],
    offset: number,
    uncertainty: number,
    ratePpm: number,
    sure: number,
  ): Row {
    // A label names the picture's own moment; sound that was not used has no way to be removed.
    const pictureOffset = recordings[i]!.probe.picture ? offset : null;
    return { ...rows[i]!, placedBy, offset, ratePpm, pictureOffset, confidence: sure, uncertainty };
  }

  /** From each placed file to those before and after it in its take, until nothing moves. */
  function alongChains(): void {
    for (let moved = true; moved; ) {
      moved = false;
      for (const link of links)
        for (const [from, to] of [
          [link.before, link.after],
          [link.after, link.before],
        ] as const) {
          const base = rows[from]!;
          const row = rows[to]!;
          if (base.offset === null || to === master || base.pieces) continue;
          const stretch = 1 + base.ratePpm! * 1e-6;
          const offset =
            to === link.after
              ? base.offset + (secondsOf(recordings[from]!) + link.gapSeconds) * stretch
              : base.offset - (secondsOf(recordings[to]!) + link.gapSeconds) * stretch;
          const uncertainty = Math.hypot(base.uncertainty ?? 0, link.doubtSeconds);
          const isOwn = row.offset !== null;
          if (isOwn && !(row.uncertainty! > surer * uncertainty)) continue;
          const apart = isOwn ? Math.abs(offset - row.offset!) : 0;
          const note = { index: to, offset, label: "", source: "chain", by: from } as const;
          // Its own sound puts it elsewhere: it is no continuation.
          if (isOwn && apart > 4 * Math.hypot(row.uncertainty!, uncertainty)) {
            if (!notes.some((n) => n.index === to && n.kind === "broken"))
              notes.push({ ...note, kind: "broken" });
            continue;
          }
          const away = recordings[to]!.probe.picture && base.pictureOffset !== null;
          rows[to] = {
            ...row,
            placedBy: base.placedBy,
            offset,
            ratePpm: base.ratePpm,
            pictureOffset: away ? offset + base.pictureOffset! - base.offset : row.pictureOffset,
            confidence: Math.max(row.confidence, base.confidence * confidence.chain),
            uncertainty,
          };
          if (!notes.some((n) => n.index === to && n.kind === "chained"))
            notes.push({ ...note, kind: "chained" });
          moved = true;
        }
    }
  }
}

function lineOf(row: Row): { offset: number; ratePpm: number } {
  return { offset: row.offset!, ratePpm: row.ratePpm! };
}
