import type { HandoverResult } from "#documents/chapter-results";
import type { Finding } from "#documents/finding";
import { countOf, openSentence } from "#science/units/number-words";
import { programSize } from "./first-cut.ts";
import type { HandoverInputs } from "./handover-inputs.ts";
import { type Program, sameRate } from "./program.ts";

/** What whoever receives the files should know. */
export function handoverFindings(
  program: Program,
  inputs: HandoverInputs,
  firstCut: NonNullable<HandoverResult["firstCut"]>,
): Finding[] {
  return [
    ...loudness(firstCut, inputs),
    ...conformed(program, inputs),
    ...program.unreadable.map(
      (path): Finding => ({
        code: "handover.timecode-unreadable",
        weight: "note",
        says: `The timecode of ${path} is no label at its own frame rate, so the lists count it from 00:00:00:00.`,
        remedy: "Relink this file by name rather than by timecode.",
        evidence: { where: path },
      }),
    ),
    ...lookless(inputs, program),
    ...length(program, firstCut),
  ];
}

function loudness(
  { loudness: figures, path }: NonNullable<HandoverResult["firstCut"]>,
  { loudnessTarget, truePeakCeiling }: HandoverInputs,
): Finding[] {
  const found: Finding[] = [];
  if (!(Math.abs(figures.integrated - loudnessTarget) <= 0.5))
    found.push({
      code: "handover.loudness-off",
      weight: "warn",
      says: `The first cut measures ${figures.integrated.toFixed(1)} LUFS; ${loudnessTarget.toFixed(1)} was asked for.`,
      remedy: "Check in Voice that the dialogue track carries the sitter, then run again.",
      evidence: { where: path, figure: `${figures.integrated.toFixed(1)} LUFS` },
    });
  if (figures.truePeak > truePeakCeiling + 0.05)
    found.push({
      code: "handover.peak-over",
      weight: "note",
      says: `Coding lifted the true peak to ${figures.truePeak.toFixed(1)} dBTP, above the ceiling of ${truePeakCeiling.toFixed(1)}.`,
      remedy: "The WAV holds the ceiling; where a strict limit counts, deliver from it.",
      evidence: { where: path, figure: `${figures.truePeak.toFixed(1)} dBTP` },
    });
  return found;
}

/** Sources of another rate or size than the program's. */
function conformed(program: Program, inputs: HandoverInputs): Finding[] {
  const used = program.sources.filter((source) => program.shots.some((shot) => shot.source === source));
  const { width, height } = programSize(inputs);
  const others = used.filter(({ recording, rate }) => {
    const size = programSize({ ...inputs, recordings: [recording], leadingCamera: recording.device });
    return !sameRate(rate, program.rate) || size.width !== width || size.height !== height;
  });
  if (others.length === 0) return [];
  const list = others.map(({ recording, rate }) => {
    const { picture } = recording.probe;
    return `${recording.path} (${picture!.width}x${picture!.height}, ${rate.num}/${rate.den})`;
  });
  return [
    {
      code: "handover.conformed",
      weight: "note",
      says: `${openSentence(countOf(others.length, "file"))} ${others.length === 1 ? "differs" : "differ"} in size or frame rate and ${others.length === 1 ? "was" : "were"} conformed to ${width} × ${height} at ${program.rate.num}/${program.rate.den}: ${list.join(", ")}.`,
      remedy:
        "Nothing to do for a first cut; in an editing program the originals keep their own size and rate.",
    },
  ];
}

/** Cameras that go into the cut as recorded, because nothing is known of their colour. */
function lookless({ looks }: HandoverInputs, program: Program): Finding[] {
  const shown = [...new Set(program.shots.map(({ event }) => event.camera))];
  const dressed = shown.filter((camera) => (looks[camera] ?? []).length > 0);
  if (shown.length < 2 || dressed.length > 0) return [];
  return [
    {
      code: "handover.not-matched",
      weight: "note",
      says: "The cameras are shown as recorded; no look was solved for them.",
      remedy: "Film the chart with both cameras, or point Colour at a grey side.",
    },
  ];
}

function length(
  program: Program,
  { durationSeconds, path }: NonNullable<HandoverResult["firstCut"]>,
): Finding[] {
  const wanted = (program.frames * program.rate.den) / program.rate.num;
  if (Math.abs(wanted - durationSeconds) < (0.5 * program.rate.den) / program.rate.num) return [];
  return [
    {
      code: "handover.length-differs",
      weight: "warn",
      says: `The rendered cut lasts ${durationSeconds.toFixed(2)} s; the lists say ${wanted.toFixed(2)} s.`,
      remedy: "A source may break off early; see what Watch says of it.",
      evidence: { where: path, figure: `${(durationSeconds - wanted).toFixed(2)} s` },
    },
  ];
}
