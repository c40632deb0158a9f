import type { StoryResult } from "#documents/chapter-results";
import type { SittingPage } from "#documents/page";
import { openSentence } from "#science/units/number-words";
import { count, counted } from "./numbers.ts";
import { spokenLength } from "./times.ts";

const spoken: Record<string, string> = {
  cards: "Cards",
  clock: "Clock",
  watch: "Watch",
  voice: "Voice",
  colour: "Colour",
  story: "Story",
  handover: "Handover",
};

/**
 * The sentence that opens the sitting: what has become of the recordings, and whether anything needs a person.
 *
 * @param story - The cut as it stands, where it is another than the one that was rendered.
 */
export function sittingVerdict(page: SittingPage, story?: StoryResult | null): string {
  const chapters = page.chapters.filter(({ name }) => spoken[name] !== undefined);
  const failed = chapters.find((c) => c.state === "failed");
  if (failed) return `${spoken[failed.name]} could not be finished. ${failed.verdict}`;
  const settled = chapters.filter((c) => c.state === "settled").length;
  const working = chapters.find((c) => c.state === "working");
  if (working) {
    const so =
      settled === 0
        ? "No chapter is settled yet"
        : `${openSentence(count(settled))} of ${count(chapters.length)} chapters ${settled === 1 ? "is" : "are"} settled`;
    return `${so}, and ${spoken[working.name]} is at work${working.progress?.doing ? `: ${working.progress.doing}` : ""}.`;
  }
  const handover = page.chapters.find((c) => c.name === "handover")?.result;
  const cut = handover && "firstCut" in handover ? handover.firstCut : null;
  if (!cut) {
    if (page.recordings.length === 0 && page.said.plan)
      return "The sitting is planned and not filmed yet. Room and Kit say what to see to; bring the recordings in here once they are there.";
    if (page.recordings.length === 0)
      return "No recordings yet. Bring them in here, or copy the cards in Cards.";
    return settled === 0
      ? `${openSentence(counted(page.recordings.length, "recording"))} ${page.recordings.length === 1 ? "waits" : "wait"}. Nothing has been measured yet.`
      : `${openSentence(counted(settled, "chapter"))} of ${count(chapters.length)} ${settled === 1 ? "is" : "are"} settled. There is no first cut yet.`;
  }
  const cameras = new Set(page.recordings.filter((r) => r.kind === "camera").map((r) => r.device)).size;
  const from =
    cameras > 0 && cameras === page.recordings.length
      ? counted(cameras, "recording")
      : `${count(page.recordings.length)} recordings${cameras > 0 ? ` of ${counted(cameras, "camera")}` : ""}`;
  const weights = page.chapters.flatMap((c) => c.findings.map((f) => f.weight));
  const stops = weights.filter((w) => w === "stop").length;
  const warns = weights.filter((w) => w === "warn").length;
  const rest =
    stops > 0
      ? `${openSentence(counted(stops, "thing"))} must be dealt with before going on.`
      : warns > 0
        ? `${openSentence(counted(warns, "thing"))} ${warns === 1 ? "is" : "are"} worth a look.`
        : "Nothing need be done.";
  return `${openSentence(from)} have become a first cut of ${spokenLength(story?.events.at(-1)?.end ?? cut.durationSeconds)}. ${rest}`;
}
