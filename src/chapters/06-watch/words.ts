import type { WatchResult } from "#documents/chapter-results";
import type { Finding } from "#documents/finding";
import { durationFigure, momentFigure } from "#science/units/time-figures";
import type { WatchKind } from "./ranges-from.ts";

type WatchRecording = WatchResult["recordings"][number];
type Range = WatchRecording["ranges"][number];

/** What happened, after the camera's name; `lasts` says whether "for 6 s" follows. */
const did: Record<WatchKind, { says: string; lasts: boolean }> = {
  soft: { says: "lost focus", lasts: true },
  moved: { says: "moved its frame", lasts: false },
  bump: { says: "was bumped", lasts: false },
  bright: { says: "was too bright", lasts: true },
  dark: { says: "was too dark", lasts: true },
  "white-drift": { says: "drifted in colour", lasts: true },
  flicker: { says: "flickered", lasts: true },
  stopped: { says: "stopped", lasts: false },
  black: { says: "was black", lasts: true },
  frozen: { says: "froze", lasts: true },
  unwanted: { says: "is kept out of the cut by your word", lasts: true },
};

const remedies: Record<WatchKind, string> = {
  soft: "The cut stays off it there. Nothing to do, unless the other camera is at fault too.",
  moved: "The cut stays off the moment itself. Check that the frame is still good after it.",
  bump: "The cut stays off it there. Nothing to do.",
  bright: "The cut stays off it there. Lock the exposure next time.",
  dark: "The cut stays off it there. Lock the exposure next time.",
  "white-drift": "The cut stays off it there. Lock the white balance next time.",
  flicker: "The cut stays off it there. Set a shutter that fits the mains next time.",
  stopped: "What was recorded up to there is used. Copy the file again if the card has more.",
  black: "The cut stays off it there. Nothing to do.",
  unwanted: "Take it back where the picture may be used after all.",
  frozen: "The cut stays off it there. Copy the file again and see whether it is whole.",
};

/** A range, and the recording in which it was seen. */
interface Seen {
  readonly range: Range;
  readonly recording: WatchRecording;
}

const fileName = (path: string): string => path.split(/[/\\]/).at(-1)!;

/** A camera by its letter; a bare file, which no letter was given to, by its name. */
const nameOf = ({ device, path }: WatchRecording): string =>
  /^[A-Z]$/.test(device) ? `Camera ${device}` : fileName(path);

/** The moment is the file's own; where its camera has several, the file is named. */
function sentence({ range, recording }: Seen, all: readonly WatchRecording[]): string {
  const { says, lasts } = did[range.kind];
  const hasSiblings = all.filter(({ device }) => device === recording.device).length > 1;
  const during = lasts ? ` for ${durationFigure(range.end - range.start)}` : "";
  const inFile = hasSiblings ? ` in ${fileName(recording.path)}` : "";
  return `${nameOf(recording)} ${says}${during} at ${momentFigure(range.start)}${inFile}.`;
}

const seenIn = (recordings: readonly WatchRecording[]): Seen[] =>
  recordings
    .flatMap((recording) => recording.ranges.map((range) => ({ range, recording })))
    .sort((a, b) => b.range.severity - a.range.severity);

const evidenceOf = ({ range, recording }: Seen): NonNullable<Finding["evidence"]> => ({
  where: recording.path,
  from: range.start,
  to: range.end,
  figure: range.evidence,
});

/** Everything seen, worst first; then what a person called fine. */
export function findingsOf(recordings: readonly WatchRecording[]): Finding[] {
  const avoided = seenIn(recordings).map(
    (seen): Finding => ({
      code: `watch.${seen.range.kind}`,
      weight: seen.range.severity < 0.15 || seen.range.said ? "note" : "warn",
      says: sentence(seen, recordings),
      remedy: remedies[seen.range.kind],
      evidence: evidenceOf(seen),
    }),
  );
  const overruled = recordings.flatMap((recording) =>
    (recording.overruled ?? []).map((range): Finding => {
      const seen = { range, recording };
      return {
        code: "watch.overruled",
        weight: "note",
        says: `${sentence(seen, recordings).replace(/\.$/, "")}; you called it fine, and the cut may use it.`,
        remedy: "Nothing to do. Take it back where the cut should stay off it after all.",
        evidence: evidenceOf(seen),
      };
    }),
  );
  return [...avoided, ...overruled];
}

/** The sentence that opens the chapter. */
export function verdictOf({ recordings }: WatchResult): string {
  if (recordings.length === 0) return "No camera was watched.";
  const devices = [...new Set(recordings.map((r) => r.device))].sort();
  const seenBy = (device: string): Seen[] =>
    seenIn(recordings).filter((seen) => seen.recording.device === device);
  const good = devices.filter((device) => seenBy(device).length === 0);
  const sentences = devices
    .filter((device) => !good.includes(device))
    .map((device) => {
      const seen = seenBy(device);
      const first = sentence(seen[0]!, recordings).replace(/\.$/, "");
      if (seen.length === 1) return `${first}; the rest of it can be used.`;
      const seconds = seen.reduce((sum, { range }) => sum + range.end - range.start, 0);
      return `${first}, the worst of ${seen.length} places; ${durationFigure(seconds)} in all are best avoided.`;
    });
  if (good.length > 0) {
    const names = good.map((device) => nameOf(recordings.find((recording) => recording.device === device)!));
    const letters = names.every((name) => name.startsWith("Camera ")) && names.length > 1;
    const listed = letters ? good : names;
    const joined = listed.length === 1 ? listed[0] : `${listed.slice(0, -1).join(", ")} and ${listed.at(-1)}`;
    sentences.unshift(
      `${letters ? "Cameras " : ""}${joined} held ${good.length === 1 ? "its" : "their"} focus, frame and light throughout.`,
    );
  }
  return sentences.join(" ");
}
