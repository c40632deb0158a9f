import type { ClockResult } from "#documents/chapter-results";
import type { Finding } from "#documents/finding";
import type { Recording } from "#documents/recording";
import { leastFineScore, unusualPpm } from "./constants.ts";
import type { LabelNote } from "./fallback.ts";
import type { Listened } from "./fine.ts";
import type { Microphone } from "./microphone.ts";
import { clockOf, nameOf, sentence, spoken, spokenDoubt, spokenPpm } from "./names.ts";
import { assumedDistanceMetres } from "./picture.ts";
import type { AcceptedPair } from "./place.ts";

/** What the findings are drawn from, beside the result. */
export interface Evidence {
  readonly recordings: readonly Recording[];
  readonly master: number;
  readonly heard: readonly (Listened | null)[];
  readonly microphones: readonly (Microphone | null)[];
  readonly pairs: readonly AcceptedPair[];
  readonly bestScore: readonly number[];
  readonly notes: readonly LabelNote[];
}

/** Worst first. */
export function clockFindings(result: ClockResult, evidence: Evidence): Finding[] {
  const rows = result.recordings;
  const name = (i: number) => nameOf(rows[i]!, rows);
  const { recordings, master, heard, microphones, pairs, bestScore, notes } = evidence;
  const findings: Finding[] = [];
  const add = (
    code: string,
    weight: Finding["weight"],
    says: string,
    remedy: string,
    more: Finding["evidence"] = {},
  ) => findings.push({ code: `clock.${code}`, weight, says, remedy, evidence: more });

  rows.forEach((row, i) => {
    const where = row.path;
    if (row.placedBy === "none") {
      const label = notes.find((n) => n.index === i && n.kind === "contradicted");
      add("not-placed", "stop", `${sentence(name(i))} was not placed: ${reason(i)}`, remedyFor(i), {
        where,
        figure: label
          ? `its timecode ${label.label} would put it ${spoken(label.offset)} ${label.offset < 0 ? "before" : "after"} the start, where the sound says otherwise`
          : `likeness ${bestScore[i]!.toFixed(1)}, needed ${leastFineScore}`,
      });
      return;
    }
    if (row.placedBy === "timecode" || row.placedBy === "deviceClock")
      add(
        row.placedBy === "timecode" ? "by-timecode" : "by-device-clock",
        "warn",
        `${sentence(name(i))} lies where its ${row.placedBy === "timecode" ? "timecode" : "device's date"} puts it, not by its sound.`,
        "Look at one movement in both pictures before relying on it.",
        { where, figure: spokenDoubt(row.uncertainty!) },
      );
    if (i === master) return;
    if (row.placedBy === "sound" && (row.confidence < 0.6 || row.uncertainty! > 0.005))
      add(
        "weak",
        "warn",
        pairs.some((p) => p.other === i && p.isSoft)
          ? `${sentence(name(i))} is placed by a voice that ${name(master)} hears only softly, most likely the interviewer's.`
          : `${sentence(name(i))} is placed, but weakly.`,
        "Check one clap or one word in both before cutting.",
        {
          where,
          figure: `confidence ${row.confidence.toFixed(2)}, ${spokenDoubt(row.uncertainty!)}`,
        },
      );
    for (const [k, piece] of (row.pieces ?? []).entries()) {
      if (k === 0) continue;
      const before = row.pieces![k - 1]!;
      const step = piece.offset - before.offset + piece.from * (piece.ratePpm - before.ratePpm) * 1e-6;
      add(
        "step",
        "warn",
        `${sentence(name(i))} ${step > 0 ? "lost" : "repeats"} ${spoken(step)} at ${clockOf(piece.from)}.`,
        "What follows is placed by itself. Avoid a cut across that moment.",
        { where, from: piece.from, figure: spoken(step) },
      );
    }
    if (Math.abs(row.ratePpm!) > unusualPpm)
      add(
        "unusual-rate",
        "warn",
        `${sentence(name(i))}'s clock runs ${spokenPpm(row.ratePpm!)} ${row.ratePpm! > 0 ? "slow" : "fast"}, more than two devices usually differ.`,
        "It is corrected. If the file was converted, use the camera's original.",
        { where, figure: `${row.ratePpm!.toFixed(2)} ppm` },
      );
  });

  for (const note of notes.filter((n) => n.kind === "disagrees")) {
    const row = rows[note.index]!;
    add(
      "timecode-disagrees",
      "note",
      `${sentence(name(note.index))}'s timecode and its sound differ by ${spoken(note.offset - row.offset!)}; the sound is believed.`,
      "Nothing to do. Set the clocks of both devices before the next sitting.",
      { where: row.path, figure: `timecode ${note.offset.toFixed(3)} s, sound ${row.offset!.toFixed(3)} s` },
    );
  }
  for (const gap of gaps(rows))
    add(
      "gap",
      "note",
      `${sentence(gap.device)} stopped at ${clockOf(gap.from)} and began again at ${clockOf(gap.to)}.`,
      "Its clock ran on, so both files hang on one line. Nothing to do here.",
      { from: gap.from, to: gap.to, figure: spoken(gap.to - gap.from) },
    );
  for (const pair of pairs.filter((p) => p.isInverted))
    add(
      "inverted",
      "note",
      `${sentence(name(pair.other))} hears the waveform upside down against ${name(pair.reference)}.`,
      "Nothing to do here; Voice turns a microphone over where it is mixed.",
      { where: rows[pair.other]!.path },
    );
  const assumed = rows.flatMap((row, i) =>
    i === master || row.placedBy !== "sound" || row.pictureOffset === null ? [] : [i],
  );
  if (assumed.length > 0)
    add(
      "picture-distance-assumed",
      "note",
      `The sound's way is taken off the picture by usual distances of microphones: ${assumed
        .map((i) => {
          const metres = assumedDistanceMetres(recordings[i]!, microphones[i]?.role ?? null);
          return `${name(i)} ${metres} m, ${spoken(rows[i]!.pictureOffset! - rows[i]!.offset!)}`;
        })
        .join("; ")}.`,
      "Nothing to do: a metre is 3 ms, less than a tenth of a picture.",
    );
  const weights = { stop: 0, warn: 1, note: 2 };
  return findings.sort((a, b) => weights[a.weight] - weights[b.weight]);

  function reason(i: number): string {
    if (!recordings[i]!.probe.sound) return "it has no sound.";
    if (!microphones[i]) return "no channel of it carries a microphone's sound.";
    if (!heard[master]) return `${name(master)}, which the others are laid on, has no sound to compare.`;
    if (heard[i]!.seconds < 3) return "it is shorter than three seconds.";
    return "its sound has nothing sure in common with any other recording.";
  }

  function remedyFor(i: number): string {
    if (!recordings[i]!.probe.sound || !microphones[i]) return "Place it by hand, or leave it out.";
    return "If it was made at another time, leave it out. If not, clap once in view of every camera next time.";
  }
}

/** Pauses between files of one device, sitting time. */
function gaps(rows: ClockResult["recordings"]): { device: string; from: number; to: number }[] {
  const found: { device: string; from: number; to: number }[] = [];
  for (const device of new Set(rows.map((r) => r.device))) {
    const own = rows
      .filter((r) => r.device === device && r.offset !== null)
      .sort((a, b) => a.offset! - b.offset!);
    for (let i = 1; i < own.length; i++) {
      const before = own[i - 1]!;
      const from = before.offset! + before.durationSeconds * (1 + before.ratePpm! * 1e-6);
      const to = own[i]!.offset!;
      // A camera that splits its files leaves no gap that matters.
      if (to - from > 0.2) found.push({ device: nameOf({ ...before, hash: "" }, [before]), from, to });
    }
  }
  return found;
}
