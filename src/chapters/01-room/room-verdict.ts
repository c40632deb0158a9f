import type { Finding } from "#documents/finding";
import type { RoomCamera } from "#documents/room-result";
import { type LengthUnits, lengthWords } from "#science/units/length-words";
import { countOf, numberWords, openSentence } from "#science/units/number-words";

/** The first letter small, to go on in a sentence. */
const goOn = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);

const unstopped = (text: string): string => text.replace(/\.$/, "");

/** What spoils the picture of the sitter is told before what is beside it. */
const tellFirst: readonly string[] = [
  "room.sun-sitter",
  "room.pair-jumps",
  "room.window-in-frame",
  "room.reflection",
  "room.boom-shadow",
  "room.sitter-near-wall",
];

/** The one sentence that opens Room: the frames, the boom, and the first thing that is wrong. */
export function roomVerdictOf(
  cameras: readonly RoomCamera[],
  findings: readonly Finding[],
  units: LengthUnits,
): string {
  const stops = findings.filter((f) => f.weight === "stop");
  const warns = findings.filter((f) => f.weight === "warn");
  const [first] = stops;
  if (first)
    return stops.length === 1
      ? `This plan cannot be filmed yet: ${goOn(first.says)}`
      : `${openSentence(countOf(stops.length, "thing"))} must change before this plan can be filmed; the first: ${goOn(first.says)}`;
  if (cameras.length === 0) return "The room is drawn; no camera stands in it yet.";
  const who =
    cameras.length === 1
      ? `Camera ${cameras[0]!.id} sees`
      : cameras.length === 2
        ? "Both cameras see"
        : `All ${numberWords(cameras.length)} cameras see`;
  const isClean = cameras.every((c) => !c.seen.some((s) => s.unwanted));
  const frames = isClean ? `${who} the sitter and nothing that should not be there` : `${who} the sitter`;
  const gaps = cameras.flatMap((c) => c.clears.map((clear) => ({ camera: c.id, ...clear })));
  const least = gaps.sort((a, b) => a.metres - b.metres)[0];
  const boom =
    least && least.metres < 0.3
      ? `${isClean ? "," : ""} and the boom clears camera ${least.camera} by ${lengthWords(least.metres, units)}`
      : "";
  const warn = tellFirst.flatMap((code) => warns.filter((f) => f.code === code))[0] ?? warns[0];
  return `${frames}${boom}${warn ? `, but ${unstopped(goOn(warn.says))}` : ""}.`;
}
