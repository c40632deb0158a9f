import type { ClockResult } from "#documents/chapter-results";
import { counted, nameOf, sentence, spoken, spokenDoubt, spokenPpm } from "./names.ts";

type Recording = ClockResult["recordings"][number];
type PlacedRecording = Recording & { offset: number; ratePpm: number; uncertainty: number };

/** The largest correction, what could not be placed, and the least certain placement. */
export function clockVerdict(result: ClockResult): string {
  const { recordings } = result;
  const name = (r: Recording) => nameOf(r, recordings);
  const master =
    recordings.find((r) => r.hash === result.master || r.path === result.master) ?? recordings[0]!;
  const others = recordings.filter((r) => r !== master);
  const placed = others.filter((r): r is PlacedRecording => r.placedBy !== "none" && r.offset !== null);
  const lost = others.filter((r) => r.placedBy === "none");
  if (others.length === 0)
    return `${sentence(name(master))} is the only recording; its own clock is the sitting's time.`;
  const refused =
    lost.length === 0
      ? ""
      : lost.length === 1
        ? `${sentence(name(lost[0]!))} could not be placed. `
        : `${lost.length} of ${recordings.length} recordings could not be placed: ${listed(lost.map(name))}. `;
  if (placed.length === 0)
    return `${refused}Nothing is on ${name(master)}'s clock but ${name(master)} itself.`;
  const largest = placed.reduce((most, r) => (Math.abs(r.offset) > Math.abs(most.offset) ? r : most));
  const drift = Math.abs(largest.ratePpm * 1e-6 * largest.durationSeconds);
  const began = `began ${spoken(largest.offset)} ${largest.offset < 0 ? "before" : "after"} ${name(master)}`;
  const drifted =
    largest.ratePpm === 0 ? "" : ` and drifted ${spokenPpm(largest.ratePpm)}, ${spoken(drift)} by its end`;
  const least = placed.reduce((most, r) => (r.uncertainty > most.uncertainty ? r : most));
  const together =
    lost.length > 0
      ? `The other ${counted(placed.length + 1)} are on one clock`
      : placed.length === 1
        ? "Both are on one clock"
        : `All ${counted(placed.length + 1)} are on one clock`;
  const doubt =
    placed.length === 1
      ? `sure to ${spokenDoubt(least.uncertainty)}`
      : `least certain is ${name(least)}, ${spokenDoubt(least.uncertainty)}`;
  return `${refused}${sentence(name(largest))} ${began}${drifted}. ${together}; ${doubt}.`;
}

function listed(names: readonly string[]): string {
  return names.length < 2 ? names.join("") : `${names.slice(0, -1).join(", ")} and ${names.at(-1)}`;
}
