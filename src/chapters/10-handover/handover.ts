import type { Chapter, MeasureContext } from "#documents/chapter";
import type { HandoverResult } from "#documents/chapter-results";
import { writeOtio } from "#formats/otio/write-otio";
import { writeSrt } from "#formats/srt/write-srt";
import { writeWebVtt } from "#formats/webvtt/write-webvtt";
import { countOf, minutesSeconds, openSentence } from "#science/units/number-words";
import { captionCues } from "./caption-cues.ts";
import { chapterCues } from "./chapter-cues.ts";
import { programSize, renderClips } from "./first-cut.ts";
import { handoverFindings } from "./handover-findings.ts";
import { type HandoverInputs, handoverInputs } from "./handover-inputs.ts";
import { programOf } from "./program.ts";
import { fileName, programEdls } from "./program-edl.ts";
import { type LaidSound, programOtio } from "./program-otio.ts";
import { writeProgramSound } from "./program-sound.ts";
import { writeReport } from "./report/write-report.ts";

type HandedFile = HandoverResult["files"][number];

/** Handover: the cut in open files that any editing program reads, and rendered once. */
export const handover: Chapter<"handover", HandoverInputs> = {
  name: "handover",
  version: 6,
  question: "What goes onward?",
  after: ["room", "kit", "clock", "watch", "voice", "colour", "story"],
  inputs: handoverInputs,
  measure,
  verdict: handoverVerdict,
  findings: ({ findings }) => findings,
};

async function measure(inputs: HandoverInputs, context: MeasureContext): Promise<HandoverResult> {
  const program = programOf(inputs);
  const files: HandedFile[] = [];
  const add = async (path: string, what: string): Promise<string> => {
    files.push({ path, bytes: (await context.bytes?.(path)) ?? 0, what });
    return path;
  };
  const { num, den } = program.rate;
  const rateWords = `${den === 1 ? num : `${num}/${den}`} frames a second`;

  context.progress(0.02, "laying the sound");
  const mix = await writeProgramSound(program, inputs, context, (done) =>
    context.progress(0.02 + 0.2 * done, "setting the level of the sound"),
  );
  await add(mix.path, "the mixed sound of the cut: BWF (EBU Tech 3285), 48 kHz, 24 bit");
  const sounds = await copySounds(inputs, context, add);

  context.progress(0.25, "writing the lists");
  for (const [i, text] of programEdls(program, inputs.voice.dialogueStart).entries()) {
    const name = i === 0 ? "cut.edl" : `cut-${i + 1}.edl`;
    await add(await context.writeText(name, text), `the cut: edit decision list, ${rateWords}`);
  }
  const here = `${files.at(-1)!.path.split("/").slice(0, -1).join("/")}/cut.otio`;
  const timeline = writeOtio(programOtio(program, inputs, sounds, here));
  await add(
    await context.writeText("cut.otio", timeline),
    "the cut with its marks: OpenTimelineIO (Clip.2, Marker.2), read by releases 0.15 and newer",
  );
  const cues = chapterCues(program);
  if (cues.length > 0)
    await add(
      await context.writeText("chapters.vtt", writeWebVtt(cues)),
      "one chapter an answer: WebVTT (W3C)",
    );
  const captions = captionCues(program, inputs.story.lines ?? []);
  if (captions.length > 0) {
    await add(
      await context.writeText("captions.vtt", writeWebVtt(captions)),
      "captions of the cut from the transcript: WebVTT (W3C)",
    );
    await add(await context.writeText("captions.srt", writeSrt(captions)), "the same captions: SRT");
  }
  for (const path of inputs.colour?.files ?? [])
    if (/\.(cube|clf|cdl|ccc)$/.test(path))
      await add(await context.copyMade(path, `luts/${fileName(path)}`), lutWords(path, inputs));
    else if (path.endsWith(".jpg"))
      await add(
        await context.copyMade(path, `colour/${fileName(path)}`),
        "before and after at a glance: the leading camera, the other as recorded, the other matched; the chart's patches in the same order: JPEG",
      );

  const { width, height } = programSize(inputs);
  const shots = renderClips(program, inputs);
  const posterName = "first-cut.jpg";
  const poster = await context.still(
    posterName,
    shots[0]!.recording,
    shots[0]!.sourceStart + (0.5 * program.rate.den) / program.rate.num,
    { maxWidth: width, luts: shots[0]!.luts },
  );
  if (inputs.report)
    await add(
      await writeReport(inputs.report, posterName, context),
      "the report, to read and to print: HTML, its pictures in report/",
    );

  context.progress(0.3, "rendering the first cut");
  const format = { width, height, frameRate: program.rate };
  const rendered = await context.renderCut("first-cut.mp4", shots, mix.path, format);
  const loudness = await context.loudness(rendered.path);
  await add(rendered.path, `the first cut, ${width} × ${height} at ${rateWords}: MP4`);
  await add(poster, "the first picture of the cut: JPEG");
  context.progress(1, "done");
  const firstCut = {
    path: rendered.path,
    durationSeconds: (rendered.frames * program.rate.den) / program.rate.num,
    width,
    height,
    frameRate: program.rate,
    loudness,
    loudnessTarget: inputs.loudnessTarget,
    poster,
    shots: shots.map(({ recording, sourceStart, sourceEnd, scale }) => ({
      hash: recording.hash,
      sourceStart,
      seconds: sourceEnd - sourceStart,
      ...(scale === 1 ? {} : { scale }),
    })),
  };
  return { files, firstCut, findings: handoverFindings(program, inputs, firstCut) };
}

/** The dialogue track and each microphone by itself, all on sitting time. */
async function copySounds(
  inputs: HandoverInputs,
  context: MeasureContext,
  add: (path: string, what: string) => Promise<string>,
): Promise<LaidSound[]> {
  const laid: LaidSound[] = [];
  // All are of one length: each is the whole sitting.
  const seconds = await soundSeconds(context, inputs.voice.files[0]!);
  for (const [i, path] of inputs.voice.files.entries()) {
    const name = fileName(path);
    const title = name.replace(/\.[^.]*$/, "");
    const copied = await add(
      await context.copyMade(path, `sound/${name}`),
      i === 0
        ? "the whole dialogue track on sitting time: 48 kHz WAV"
        : `the ${title} by itself, in step with the dialogue track: 48 kHz WAV`,
    );
    laid.push({
      name: title,
      path: copied,
      start: inputs.voice.dialogueStart,
      seconds,
      isHeard: i === 0,
    });
  }
  return laid;
}

async function soundSeconds(context: MeasureContext, path: string): Promise<number> {
  let samples = 0;
  for await (const block of context.madeSound(path, {})) {
    context.signal.throwIfAborted();
    samples = block.firstSample + block.channels[0]!.length;
  }
  return samples / 48_000;
}

function lutWords(path: string, { colour }: HandoverInputs): string {
  if (path.endsWith(".clf")) return "the same match for programs that read the Common LUT Format (CLF 3.0)";
  if (path.endsWith(".ccc"))
    return "a slow correction of a camera's drifting white, one ASC CDL a minute: before the LUT";
  if (path.endsWith(".cdl"))
    return "the nearest ASC CDL to the match, for programs that take no LUT: less close, see its description";
  if (path === colour?.lut) return "brings the other camera to the leading one: .cube LUT";
  if (path === colour?.viewLut) return "brings the leading camera to a picture for viewing: .cube LUT";
  const setup = /-(\d+)\.cube$/.exec(path)?.[1];
  return setup ? `the look of setup ${setup}: .cube LUT` : "a look: .cube LUT";
}

/** "Seven files are ready; the first cut runs 0:41 at −18.0 LUFS." */
function handoverVerdict({ files, firstCut }: HandoverResult): string {
  const ready = `${openSentence(countOf(files.length, "file"))} ${files.length === 1 ? "is" : "are"} ready`;
  if (!firstCut) return `${ready}.`;
  const { integrated } = firstCut.loudness;
  const level = Number.isFinite(integrated)
    ? `at ${integrated.toFixed(1).replace("-", "−")} LUFS`
    : "without sound";
  return `${ready}; the first cut runs ${minutesSeconds(firstCut.durationSeconds)} ${level}.`;
}
