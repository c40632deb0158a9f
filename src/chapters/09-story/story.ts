import type { Chapter, MeasureContext } from "#documents/chapter";
import type { StoryResult } from "#documents/chapter-results";
import { leadingDevice } from "#documents/look-of-device";
import { programRate } from "#science/timecode/program-rate";
import { countOf, durationWords, minutesSeconds, openSentence } from "#science/units/number-words";
import { chooseKept } from "./choose-kept.ts";
import { onFrameGrid, wherePictured } from "./frame-grid.ts";
import { listen } from "./listen.ts";
import { type PlacedSource, pictureSources, sourceRange } from "./picture-sources.ts";
import { type StoryShot, solveStory } from "./solve-story.ts";
import { storyFindings } from "./story-findings.ts";
import { type StoryInputs, storyInputs } from "./story-inputs.ts";

/** Story: which stretches of the sitting are kept, and which camera shows each moment of them. */
export const story: Chapter<"story", StoryInputs> = {
  name: "story",
  version: 2,
  question: "Does it hold together?",
  after: ["clock", "watch", "voice", "colour"],
  inputs: storyInputs,
  measure,
  verdict: storyVerdict,
  findings: ({ findings }) => findings,
};

async function measure(inputs: StoryInputs, context: MeasureContext): Promise<StoryResult> {
  const sources = pictureSources(inputs);
  const wideCamera = leadingDevice(sources.map(({ camera }) => camera));
  const lead = sources.find(({ camera }) => camera === wideCamera)!;
  const frameRate = programRate(lead.recording.probe.picture!.frameRate);

  const material = await listen(inputs, context);
  context.progress(0.6, "choosing what stays");
  const chosen = chooseKept(material, inputs.decisions);
  const { kept: stretches, lost } = wherePictured(
    onFrameGrid(chosen.kept, frameRate, lead.from),
    sources,
    frameRate,
  );
  const shots = solveStory({ rate: frameRate, stretches, sources, wideCamera });
  const events: StoryResult["events"] = [];
  for (const [i, shot] of shots.entries()) {
    context.progress(0.65 + (0.35 * i) / shots.length, "taking stills for the braid");
    events.push(await eventOf(shot, i, sources, frameRate, inputs, context));
  }
  context.progress(1, "done");
  return {
    frameRate,
    events,
    dropped: droppedRanges(material, stretches, chosen.dropped, lost),
    speech: material.phrases.map(({ start, end, who }) => ({ start, end, who })),
    findings: storyFindings({ material, shots, stretches, sources, lost, decisions: inputs.decisions }),
  };
}

async function eventOf(
  shot: StoryShot,
  index: number,
  sources: readonly PlacedSource[],
  rate: { num: number; den: number },
  inputs: StoryInputs,
  context: MeasureContext,
): Promise<StoryResult["events"][number]> {
  const source = sources[shot.source]!;
  const { start, end } = sourceRange(source, shot.sittingStart, shot.sittingEnd);
  return {
    start: (shot.startFrame * rate.den) / rate.num,
    end: (shot.endFrame * rate.den) / rate.num,
    camera: source.camera,
    path: source.recording.path,
    hash: source.recording.hash,
    sourceStart: start,
    sourceEnd: end,
    sittingStart: shot.sittingStart,
    sittingEnd: shot.sittingEnd,
    ...(shot.scale === 1 ? {} : { scale: shot.scale }),
    why: shot.why,
    stills: await stillsOf(shot, index, sources, inputs, context),
  };
}

/** What each camera saw in the middle of a shot, looking alike. */
async function stillsOf(
  shot: StoryShot,
  index: number,
  sources: readonly PlacedSource[],
  inputs: StoryInputs,
  context: MeasureContext,
): Promise<Record<string, string>> {
  const middle = (shot.sittingStart + shot.sittingEnd) / 2;
  const stills: Record<string, string> = {};
  const shown = sources[shot.source]!;
  for (const source of [shown, ...sources]) {
    if (stills[source.camera] !== undefined || middle < source.from || middle >= source.to) continue;
    const at = sourceRange(source, middle, middle).start;
    const name = `stills/${String(index + 1).padStart(3, "0")}-${source.camera.toLowerCase()}.jpg`;
    stills[source.camera] = await context.still(name, source.recording, at, {
      maxWidth: 360,
      luts: inputs.luts[source.camera] ?? [],
    });
  }
  return stills;
}

/** The complement of what is in the cut, each part with the reason; the frame grid moves edges by under a frame. */
function droppedRanges(
  { from, to }: { from: number; to: number },
  stretches: readonly { start: number; end: number }[],
  reasons: readonly { start: number; end: number; why: string }[],
  lost: readonly { start: number; end: number }[],
): StoryResult["dropped"] {
  const why = (start: number, end: number): string => {
    const overlap = (range: { start: number; end: number }): number =>
      Math.min(end, range.end) - Math.max(start, range.start);
    const all = [...reasons, ...lost.map((range) => ({ ...range, why: "no camera was running" }))];
    return all.reduce((best, range) => (overlap(range) > overlap(best) ? range : best), all[0]!).why;
  };
  const edges = [{ start: from, end: from }, ...stretches, { start: to, end: to }];
  return edges
    .slice(1)
    .map((next, i) => ({ start: edges[i]!.end, end: next.start }))
    .filter(({ start, end }) => end - start > 1e-3)
    .map(({ start, end }) => ({ start, end, why: why(start, end) }));
}

/** "Seventy-five seconds have become forty-one. All 6 cuts inside the sitter's answers change camera." */
function storyVerdict({ events, dropped, frameRate }: StoryResult): string {
  const last = events.at(-1);
  if (!last) return "Nobody is heard to speak, so there is nothing to cut.";
  const before =
    dropped.reduce((sum, { start, end }) => sum + end - start, 0) +
    events.reduce((sum, event) => sum + event.end - event.start, 0);
  const frame = frameRate.den / frameRate.num;
  const joins = events.filter(
    (event, i) => i > 0 && event.sittingStart - events[i - 1]!.sittingEnd > frame / 2,
  );
  const kept = joins.filter((join) => events[events.indexOf(join) - 1]!.camera === join.camera);
  return `${openSentence(durationWords(before))} ${before >= 1.5 ? "have" : "has"} become ${lengthAlike(before, last.end)}. ${joinsSentence(
    joins.length,
    kept.map(({ start }) => start),
  )}`;
}

/** The second of two durations, without its unit where the first has the same. */
function lengthAlike(before: number, after: number): string {
  const [first, second] = [durationWords(before), durationWords(after)];
  const [unitBefore, unitAfter] = [first, second].map((text) => text.split(" ").at(-1));
  return unitBefore === unitAfter ? second.slice(0, -(unitAfter!.length + 1)) : second;
}

function joinsSentence(joins: number, withoutChange: readonly number[]): string {
  if (joins === 0) return "The sitter's answer runs through without a join.";
  const where = withoutChange.map(minutesSeconds).join(", ");
  if (withoutChange.length === joins)
    return joins === 1
      ? `The one cut inside the sitter's answers changes size, at ${where}.`
      : `All ${joins} cuts inside the sitter's answers change size, not camera.`;
  const most =
    joins === 1
      ? "The one cut inside the sitter's answers changes camera"
      : `All ${joins} cuts inside the sitter's answers change camera`;
  if (withoutChange.length === 0) return `${most}.`;
  return withoutChange.length === 1
    ? `${most}, save one at ${where}.`
    : `${most}, save ${countOf(withoutChange.length, "cut")} that change size.`;
}
