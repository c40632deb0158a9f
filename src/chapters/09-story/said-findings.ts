import type { Finding } from "#documents/finding";
import type { StorySaid } from "#documents/said";
import { minutesSeconds } from "#science/units/number-words";
import type { StoryShot } from "./solve-story.ts";
import type { PictureSource, StoryMaterial } from "./story-material.ts";

/** Less than this of a person's word left undone is the frame grid's rounding, seconds. */
const rounding = 0.1;

/** Where what a person said of the cut could not be done, and why. */
export function saidFindings({
  said,
  shots,
  sources,
  material,
}: {
  readonly said: StorySaid;
  readonly shots: readonly StoryShot[];
  readonly sources: readonly PictureSource[];
  readonly material: Pick<StoryMaterial, "from" | "to">;
}): Finding[] {
  return [
    ...said.angles.flatMap(({ from, to, camera }, i): Finding[] => {
      const laterOnes = said.angles.slice(i + 1);
      const isOverruled = laterOnes.some((one) => overlap(one.from, one.to, from, to) > 0);
      const inCut = shots
        .map(({ sittingStart, sittingEnd, source }) => ({
          from: Math.max(from, sittingStart),
          to: Math.min(to, sittingEnd),
          isDone: sources[source]!.camera === camera,
        }))
        .filter((part) => part.to > part.from);
      const shown = lengthOf(inCut);
      // What a later word overrules is no loss of this one, and only what is in the cut can be lost.
      const missing = lengthOf(
        laterOnes.reduce(
          (left, one) => left.flatMap((part) => without(part, one)),
          inCut.filter((part) => !part.isDone).map((part): Span => ({ from: part.from, to: part.to })),
        ),
      );
      const evidence = { where: camera, from, to };
      if (shown < rounding && !isOverruled)
        return [
          {
            code: "story.said-not-in-cut",
            weight: "note",
            says: `You chose camera ${camera} from ${minutesSeconds(from)} to ${minutesSeconds(to)}, but that is left out of the cut.`,
            remedy: "Give the stretch back if it is to be seen; else there is nothing to do.",
            evidence,
          },
        ];
      if (missing < rounding) return [];
      return [
        {
          code: "story.said-no-picture",
          weight: "warn",
          says: `You chose camera ${camera} from ${minutesSeconds(from)} to ${minutesSeconds(to)}, but it has no picture for ${missing.toFixed(1)} s of that; another camera is shown there.`,
          remedy: "Choose another camera there, or lay a cutaway over it.",
          evidence: { ...evidence, figure: `${missing.toFixed(1)} s` },
        },
      ];
    }),
    ...said.kept.flatMap(({ from, to }): Finding[] => {
      const missing = to - from - overlap(from, to, material.from, material.to);
      if (missing < rounding) return [];
      return [
        {
          code: "story.said-not-recorded",
          weight: "note",
          says: `You gave back ${minutesSeconds(from)} to ${minutesSeconds(to)}, but for ${missing.toFixed(1)} s of that nothing was recorded.`,
          remedy: "Nothing to do.",
          evidence: { from, to },
        },
      ];
    }),
  ];
}

const overlap = (aStart: number, aEnd: number, bStart: number, bEnd: number): number =>
  Math.max(0, Math.min(aEnd, bEnd) - Math.max(aStart, bStart));

interface Span {
  readonly from: number;
  readonly to: number;
}

const lengthOf = (spans: readonly Span[]): number => spans.reduce((sum, { from, to }) => sum + to - from, 0);

/** What is left of a span when another is taken out of it. */
const without = (span: Span, gone: Span): Span[] =>
  [
    { from: span.from, to: Math.min(span.to, gone.from) },
    { from: Math.max(span.from, gone.to), to: span.to },
  ].filter(({ from, to }) => to > from);
