import type { Chapter, MeasureContext } from "#documents/chapter";
import type { StoryResult } from "#documents/chapter-results";
import { leadingDevice, lutsAt } from "#documents/look-of-device";
import { programRate } from "#science/timecode/program-rate";
import { type Cut, cutGround, cutStory } from "./cut-story.ts";
import { listen } from "./listen.ts";
import { type HeardDocument, heardDocument, sourceDocument } from "./material-document.ts";
import { type PlacedSource, pictureSources, sourceRange } from "./picture-sources.ts";
import { type StoryInputs, storyInputs } from "./story-inputs.ts";
import { storyVerdict } from "./story-verdict.ts";
import { transcriptLines } from "./transcript-lines.ts";
import { weighedByWords } from "./words-of-tries.ts";

/** Raise it when listening would hear otherwise. */
const listeningVersion = 1;

/** Story: which stretches of the sitting are kept, and which camera shows each moment of them. */
export const story: Chapter<"story", StoryInputs> = {
  name: "story",
  version: 5,
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

  const { speech, ...heard } = await heardOnce(inputs, context);
  const { lines, findings } = await transcriptLines(inputs, (file) => context.readMadeText(file));
  const falseStarts = weighedByWords(heard.falseStarts, speech, lines);
  const material = { ...heard, falseStarts, wideCamera, sources: sources.map(sourceDocument) };
  context.progress(0.6, "choosing what stays");
  const cut = cutStory(cutGround({ material, speech, frameRate })!, {
    ...inputs.decisions,
    story: inputs.story,
  });
  const events: StoryResult["events"] = [];
  for (const [i, event] of cut.events.entries()) {
    context.progress(0.65 + (0.35 * i) / cut.events.length, "taking stills for the braid");
    events.push({ ...event, stills: await stillsOf(event, i, sources, inputs, context) });
  }
  context.progress(1, "done");
  return {
    frameRate,
    events,
    dropped: cut.dropped,
    material,
    speech,
    ...(lines.length > 0 ? { lines: [...lines] } : {}),
    findings: [...findings, ...cut.findings],
  };
}

/** Listening takes the most time and depends on no decision: it is done once, and its document kept. */
async function heardOnce(inputs: StoryInputs, context: MeasureContext): Promise<HeardDocument> {
  const hear = async (): Promise<HeardDocument> => heardDocument(await listen(inputs, context));
  const { recordings, masterHash, placed, claps, roles } = inputs;
  return (
    (await context.remember?.(
      `listening-${listeningVersion}`,
      { recordings, masterHash, placed, claps, roles },
      hear,
    )) ?? (await hear())
  );
}

/** What each camera saw in the middle of an event, looking alike. */
async function stillsOf(
  event: Cut["events"][number],
  index: number,
  sources: readonly PlacedSource[],
  inputs: StoryInputs,
  context: MeasureContext,
): Promise<Record<string, string>> {
  const middle = (event.sittingStart + event.sittingEnd) / 2;
  const stills: Record<string, string> = {};
  const shown = sources.filter(({ hash }) => hash === event.hash);
  for (const source of [...shown, ...sources]) {
    if (stills[source.camera] !== undefined || middle < source.from || middle >= source.to) continue;
    const at = sourceRange(source, middle, middle).start;
    const name = `stills/${String(index + 1).padStart(3, "0")}-${source.camera.toLowerCase()}.jpg`;
    stills[source.camera] = await context.still(name, source.recording, at, {
      maxWidth: 360,
      luts: lutsAt(inputs.looks[source.camera] ?? [], middle),
    });
  }
  return stills;
}
