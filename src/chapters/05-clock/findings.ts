import type { ClockResult } from "#documents/chapter-results";
import type { Finding } from "#documents/finding";
import type { Recording } from "#documents/recording";
import type { ClapCheck } from "./claps.ts";
import { leastFineScore, unusualPpm } from "./constants.ts";
import type { PlacementNote } from "./fallback.ts";
import type { Listened } from "./listened.ts";
import type { Microphone } from "./microphone.ts";
import { clockOf, nameOf, sentence, spoken, spokenDoubt, spokenPpm } from "./names.ts";
import type { MicrophoneDistance } from "./picture.ts";
import type { PictureBySlate } from "./picture-by-slate.ts";
import type { AcceptedPair } from "./place.ts";
import type { TimeOfDay } from "./time-of-day.ts";
import type { TimecodeHeard } from "./timecode-heard.ts";

/** What the findings are drawn from, beside the result. */
export interface Evidence {
  readonly recordings: readonly Recording[];
  readonly master: number;
  readonly heard: readonly (Listened | null)[];
  readonly microphones: readonly (Microphone | null)[];
  readonly pairs: readonly AcceptedPair[];
  readonly bestScore: readonly number[];
  /** Refused because their sound repeats itself. */
  readonly repeating: ReadonlySet<number>;
  readonly distances: readonly MicrophoneDistance[];
  readonly timecodes: readonly (TimecodeHeard | null)[];
  readonly notes: readonly PlacementNote[];
  readonly checks: readonly ClapCheck[];
  /** By hash. */
  readonly seen: ReadonlyMap<string, PictureBySlate>;
}

const labelNames: Readonly<Record<TimeOfDay["source"], string>> = {
  heard: "timecode",
  track: "timecode",
  timeReference: "time reference",
};
/** A clap further than this from where the placement expects it: more than the way from hands to microphones. */
const mostClapApartSeconds = 0.015;

/** Doubt about the direct sound from which on it is worth a word: enough to colour a mix of two microphones. */
const drownedSeconds = 0.001;

/** Worst first. */
export function clockFindings(result: ClockResult, evidence: Evidence): Finding[] {
  const rows = result.recordings;
  const name = (i: number) => nameOf(rows[i]!, rows);
  const { recordings, master, heard, microphones, pairs, bestScore, notes } = evidence;
  const noteOf = (i: number, kind: PlacementNote["kind"]) =>
    notes.find((n) => n.index === i && n.kind === kind);
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
      const label = noteOf(i, "contradicted");
      add("not-placed", "stop", `${sentence(name(i))} was not placed: ${reason(i)}`, remedyFor(i), {
        where,
        figure: label
          ? `its ${labelOf(label)} ${label.label} would put it ${spoken(label.offset)} ${label.offset < 0 ? "before" : "after"} the start, where the sound says otherwise`
          : `likeness ${bestScore[i]!.toFixed(1)}, needed ${leastFineScore}`,
      });
      return;
    }
    const chained = noteOf(i, "chained");
    if (chained)
      add(
        "goes-on",
        "note",
        `${sentence(name(i))} is placed as one take with ${name(chained.by!)}${holeOf(row)}; its own sound is not enough.`,
        "Nothing to do.",
        { where, figure: spokenDoubt(row.uncertainty!) },
      );
    else if (row.placedBy === "timecode" || row.placedBy === "deviceClock") {
      const rivals = noteOf(i, "rivals");
      const by =
        row.placedBy === "deviceClock"
          ? "device's date"
          : labelNames[
              evidence.timecodes[i]
                ? "heard"
                : recordings[i]!.probe.timeReferenceSamples
                  ? "timeReference"
                  : "track"
            ];
      add(
        row.placedBy === "timecode" ? "by-timecode" : "by-device-clock",
        "warn",
        `${sentence(name(i))} lies where its ${by} puts it, not by its sound${rivals ? ", and the labels of the others do not agree" : ""}.`,
        "Look at one movement in both pictures before relying on it.",
        { where, figure: spokenDoubt(row.uncertainty!) },
      );
    } else if (row.placedBy === "slate")
      add(
        "by-slate",
        "warn",
        noteOf(i, "aloneClap")
          ? `${sentence(name(i))} is placed by one clap alone; there is too little speech in it.`
          : `${sentence(name(i))} is placed by a clap; there is too little speech in it.`,
        "Look at the clap in both pictures before relying on it.",
        { where, figure: spokenDoubt(row.uncertainty!) },
      );
    const broken = noteOf(i, "broken");
    if (broken)
      add(
        "take-broken",
        "note",
        `${sentence(name(i))} looks like the rest of ${name(broken.by!)}'s take, but its sound lies ${spoken(broken.offset - row.offset!)} from there; the sound is believed.`,
        "Nothing to do.",
        { where, figure: spoken(broken.offset - row.offset!) },
      );
    for (const jump of evidence.timecodes[i]?.jumps ?? [])
      add(
        "timecode-jumps",
        "note",
        `${sentence(name(i))}'s timecode jumps to ${jump.label} at ${clockOf(row.offset! + jump.at)}.`,
        "Nothing to do: its longest stretch is used.",
        { from: row.offset! + jump.at, figure: jump.label },
      );
    if (i === master) return;
    if (row.placedBy === "sound" && (row.confidence < 0.6 || row.uncertainty! > 0.005))
      add(
        "weak",
        "warn",
        pairs.some((p) => p.other === i && p.isSoft)
          ? `${sentence(name(i))} is placed by a voice that ${name(master)} hears only softly, most likely the interviewer's.`
          : isDrowned(i)
            ? `${sentence(name(i))} is placed, but its room's reflections drown the voice's own way to it, so its first arrival is not sure.`
            : `${sentence(name(i))} is placed, but weakly.`,
        "Check one clap or one word in both before cutting.",
        {
          where,
          figure:
            row.confidence >= 0.995
              ? spokenDoubt(row.uncertainty!)
              : `${Math.round(row.confidence * 100)} % sure, ${spokenDoubt(row.uncertainty!)}`,
        },
      );
    else if (row.placedBy === "sound" && row.uncertainty! > drownedSeconds && isDrowned(i))
      add(
        "reflections",
        "note",
        `${sentence(name(i))}'s place is good to ${spoken(row.uncertainty!)} alone: reflections come close to the voice's own way to it.`,
        "Nothing to do for the picture. Before its sound is mixed with another's, check the delay in Voice.",
        { where, figure: spokenDoubt(row.uncertainty!) },
      );
    for (const [k, piece] of (row.pieces ?? []).entries()) {
      if (k === 0) continue;
      const before = row.pieces![k - 1]!;
      const step = piece.offset - before.offset + piece.from * (piece.ratePpm - before.ratePpm) * 1e-6;
      const at = piece.offset + piece.from * (1 + piece.ratePpm * 1e-6);
      add(
        "step",
        "warn",
        `${sentence(name(i))} ${step > 0 ? "lost" : "repeats"} ${spoken(step)} at ${clockOf(at)}.`,
        `What follows is placed by itself. Avoid a cut across that moment, ${clockOf(piece.from)} in its file.`,
        { from: at, figure: spoken(step) },
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
    const label = labelOf(note);
    add(
      "timecode-disagrees",
      "note",
      `${sentence(name(note.index))}'s ${label} is ${spoken(row.offset! - note.offset)} ${note.offset > row.offset! ? "ahead of" : "behind"} the others'; its sound is believed.`,
      `Nothing to do here. Elsewhere do not place it by its ${label}; set the clocks of all devices before the next sitting.`,
      {
        where: row.path,
        figure: `by ${label} ${note.label}: ${note.offset.toFixed(3)} s, by sound: ${row.offset!.toFixed(3)} s`,
      },
    );
  }
  const indexOf = (hash: string) => rows.findIndex((row) => row.hash === hash);
  const isApart = (check: ClapCheck) => Math.abs(check.apart) > mostClapApartSeconds;
  const clapsOf = (count: number) => (count === 1 ? "the clap" : `${count} claps`);
  for (const check of evidence.checks.filter(isApart))
    add(
      "clap-disagrees",
      "warn",
      `${sentence(name(indexOf(check.hash)))} hears ${clapsOf(check.claps)} ${spoken(check.apart)} from where its place by sound expects it.`,
      "Look at the clap in both pictures; if hands and sound are apart, place it by hand.",
      { from: check.at, figure: spoken(check.apart) },
    );
  // What is well with all of them is one note.
  const agreeing = evidence.checks.filter((check) => !isApart(check));
  if (agreeing.length > 0) {
    const farthest = Math.max(...agreeing.map(({ apart }) => Math.abs(apart)));
    const isOne = agreeing.length === 1;
    const count = agreeing.every(({ claps }) => claps === agreeing[0]!.claps) ? agreeing[0]!.claps : null;
    add(
      "clap-agrees",
      "note",
      `${sentence(listed(agreeing.map(({ hash }) => name(indexOf(hash)))))} ${isOne ? "hears" : "hear"} ${count === null ? "the claps" : clapsOf(count)} within ${spoken(farthest)} of where ${isOne ? "its place" : "their places"} by sound ${isOne ? "expects" : "expect"} ${count === 1 ? "it" : "them"}.`,
      "Nothing to do: hands are not where the sitter's mouth is, and a metre is 3 ms.",
      { from: Math.min(...agreeing.map(({ at }) => at)), figure: spoken(farthest) },
    );
  }
  const shownAs = (slate: PictureBySlate) => (slate.kind === "flash" ? "flash" : "slate");
  for (const [hash, slate] of evidence.seen) {
    const i = indexOf(hash);
    const shown = shownAs(slate);
    if (slate.moves)
      add(
        "picture-apart",
        "warn",
        `${sentence(name(i))}'s picture comes ${spoken(slate.late)} ${slate.late > 0 ? "after" : "before"} its sound, by the ${shown} at ${clockOf(slate.at)}; the picture is moved by that.`,
        "Check a word's lips. If it is wrong, set the distance of its microphone by hand.",
        { from: slate.at, figure: `${spoken(slate.late)}, a frame is ${spoken(slate.frameSeconds)}` },
      );
  }
  // Cameras that saw the same one, and have nothing to be told of, share a note.
  const checked = [...evidence.seen].filter(
    ([, slate]) => !slate.moves && Math.abs(slate.late) <= 1.1 * slate.frameSeconds,
  );
  const event = (slate: PictureBySlate) => `the ${shownAs(slate)} at ${clockOf(slate.at)}`;
  for (const what of new Set(checked.map(([, slate]) => event(slate)))) {
    const same = checked.filter(([, slate]) => event(slate) === what);
    const frames = Math.max(...same.map(([, slate]) => slate.frameSeconds));
    const latest = Math.max(...same.map(([, slate]) => Math.abs(slate.late)));
    add(
      "picture-checked",
      "note",
      `${sentence(listed(same.map(([hash]) => name(indexOf(hash)))))} ${same.length === 1 ? "shows" : "show"} ${what} within a frame of where it was heard.`,
      "Nothing to do.",
      {
        from: Math.min(...same.map(([, slate]) => slate.at)),
        figure: `${same.length > 1 ? "at most " : ""}${spoken(latest)}, a frame is ${spoken(frames)}`,
      },
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
  const byDistance = (by: "usual" | "plan" | "said") =>
    rows.flatMap((row, i) => (i === master || row.picture?.by !== by ? [] : [i]));
  const ways = (indices: readonly number[]) =>
    indices
      .map((i) => {
        const moved = rows[i]!.pictureOffset! - rows[i]!.offset!;
        return `${name(i)} ${evidence.distances[i]!.metres} m, ${spoken(moved)}`;
      })
      .join("; ");
  if (byDistance("usual").length > 0)
    add(
      "picture-distance-assumed",
      "note",
      `The sound's way is taken off the picture by usual distances of microphones: ${ways(byDistance("usual"))}.`,
      "Nothing to do: a metre is 3 ms, less than a tenth of a picture.",
    );
  if (byDistance("plan").length > 0)
    add(
      "picture-distance-planned",
      "note",
      `The sound's way is taken off the picture by the distances in the plan of the room: ${ways(byDistance("plan"))}.`,
      "Nothing to do, if the cameras stood where the plan has them.",
    );
  if (byDistance("said").length > 0)
    add(
      "picture-distance-said",
      "note",
      `The sound's way is taken off the picture by the distances that were set: ${ways(byDistance("said"))}.`,
      "Nothing to do.",
    );
  const weights = { stop: 0, warn: 1, note: 2 };
  return findings.sort((a, b) => weights[a.weight] - weights[b.weight]);

  /** Whether most of what is not known comes from the choice of the direct sound. */
  function isDrowned(i: number): boolean {
    const doubt = Math.max(0, ...pairs.filter((p) => p.other === i).map((p) => p.doubtSeconds));
    return doubt > 0.7 * rows[i]!.uncertainty!;
  }

  function labelOf({ source }: PlacementNote): string {
    return source === "chain" || source === "slate" ? source : labelNames[source];
  }

  function holeOf({ goesOnFrom }: ClockResult["recordings"][number]): string {
    return goesOnFrom && goesOnFrom.gapSeconds > 0.0005
      ? `, ${spoken(goesOnFrom.gapSeconds)} lost between`
      : "";
  }

  function reason(i: number): string {
    if (!recordings[i]!.probe.sound) return "it has no sound.";
    if (!microphones[i]) return "no channel of it carries a microphone's sound.";
    if (!heard[master]) return `${name(master)}, which the others are laid on, has no sound to compare.`;
    if (heard[i]!.seconds < 3) return "it is shorter than three seconds.";
    if (evidence.repeating.has(i))
      return "its sound repeats itself, as music does, and fits the others in several places.";
    return "its sound has nothing sure in common with any other recording.";
  }

  function remedyFor(i: number): string {
    if (!recordings[i]!.probe.sound || !microphones[i]) return "Place it by hand, or leave it out.";
    return "If it was made at another time, leave it out. If not, clap once in view of every camera next time.";
  }
}

/** "camera A", "camera A and camera B", "camera A, camera B and camera C". */
const listed = (names: readonly string[]): string =>
  names.length < 2 ? names.join("") : `${names.slice(0, -1).join(", ")} and ${names.at(-1)}`;

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
      if (to - from > 0.2) found.push({ device: nameOf(before, [before]), from, to });
    }
  }
  return found;
}
