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
  frozen: "The cut stays off it there. Copy the file again and see whether it is whole.",
};

function sentence(device: string, range: Range): string {
  const { says, lasts } = did[range.kind];
  return `Camera ${device} ${says}${lasts ? ` for ${durationFigure(range.end - range.start)}` : ""} at ${momentFigure(range.start)}.`;
}

/** Everything seen, worst first. */
export function findingsOf(recordings: readonly WatchRecording[]): Finding[] {
  return recordings
    .flatMap(({ ranges, device, path }) => ranges.map((range) => ({ range, device, path })))
    .sort((a, b) => b.range.severity - a.range.severity)
    .map(({ range, device, path }) => ({
      code: `watch.${range.kind}`,
      weight: range.severity < 0.15 ? "note" : "warn",
      says: sentence(device, range),
      remedy: remedies[range.kind],
      evidence: { where: path, from: range.start, to: range.end, figure: range.evidence },
    }));
}

/** The sentence that opens the chapter. */
export function verdictOf({ recordings }: WatchResult): string {
  if (recordings.length === 0) return "No camera was watched.";
  const devices = [...new Set(recordings.map((r) => r.device))].sort();
  const faults = (device: string): Range[] =>
    recordings
      .filter((r) => r.device === device)
      .flatMap((r) => r.ranges)
      .sort((a, b) => b.severity - a.severity);
  const good = devices.filter((d) => faults(d).length === 0);
  const bad = devices.filter((d) => faults(d).length > 0);
  const sentences = bad.map((device) => {
    const [worst, ...rest] = faults(device);
    const first = sentence(device, worst!).replace(/\.$/, "");
    if (rest.length === 0) return `${first}; the rest of it can be used.`;
    const seconds = [worst!, ...rest].reduce((sum, r) => sum + r.end - r.start, 0);
    return `${first}, the worst of ${rest.length + 1} places; ${durationFigure(seconds)} in all are best avoided.`;
  });
  if (good.length > 0) {
    const names =
      good.length === 1 ? `Camera ${good[0]}` : `Cameras ${good.slice(0, -1).join(", ")} and ${good.at(-1)}`;
    sentences.unshift(
      `${names} held ${good.length === 1 ? "its" : "their"} focus, frame and light throughout.`,
    );
  }
  return sentences.join(" ");
}
