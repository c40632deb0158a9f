import type { Finding } from "#documents/finding";
import type { StorySaid } from "#documents/said";
import { countOf, minutesSeconds, openSentence } from "#science/units/number-words";
import type { StoryDecisions } from "./choose-kept.ts";
import type { FramedStretch } from "./frame-grid.ts";
import { saidFindings } from "./said-findings.ts";
import type { StoryShot } from "./solve-story.ts";
import type { PictureSource, StoryMaterial } from "./story-material.ts";

/** What is wrong with the cut, or worth knowing about it. */
export function storyFindings(found: {
  readonly material: StoryMaterial;
  readonly shots: readonly StoryShot[];
  readonly stretches: readonly FramedStretch[];
  readonly sources: readonly PictureSource[];
  readonly lost: readonly { start: number; end: number }[];
  readonly decisions: StoryDecisions;
  readonly said: StorySaid;
}): Finding[] {
  const { material, lost, said } = found;
  if (found.shots.length === 0) return [nothingKept(material, said)];
  return [
    ...lost.map(
      ({ start, end }): Finding => ({
        code: "story.no-picture",
        weight: "warn",
        says: `From ${minutesSeconds(start)} for ${(end - start).toFixed(1)} s the sitter is heard but no camera was running, so this is not in the cut.`,
        remedy: "Lay a cutaway over it, or leave it out.",
        evidence: { from: start, to: end, figure: `${(end - start).toFixed(1)} s` },
      }),
    ),
    ...sizeChanges(found),
    ...badShown(found),
    ...saidFindings(found),
    ...falseStarts(material),
    ...talkers(material, found.decisions),
  ];
}

function nothingKept({ from, to, phrases }: StoryMaterial, { folded }: StorySaid): Finding {
  if (phrases.length > 0 && folded.length > 0)
    return {
      code: "story.nothing-kept",
      weight: "stop",
      says: "Everything that was left of the sitting has been folded away by hand.",
      remedy: "Give a stretch back, or undo the last fold.",
      evidence: { from, to },
    };
  return {
    code: "story.nothing-kept",
    weight: "stop",
    says:
      phrases.length === 0
        ? "No speech is heard in the sitter's microphone."
        : "Speech is heard, but none of it is an answer that a camera saw.",
    remedy: "Check in Voice which channel carries the sitter, and in Clock that the cameras are placed.",
    evidence: { from, to },
  };
}

function sizeChanges({ shots, sources, stretches }: Parameters<typeof storyFindings>[0]): Finding[] {
  return shots.flatMap((shot, i): Finding[] => {
    const before = shots[i - 1];
    if (!before || before.stretch === shot.stretch) return [];
    const camera = sources[shot.source]!.camera;
    if (sources[before.source]!.camera !== camera) return [];
    const other = sources.find(
      (source) =>
        source.camera !== camera &&
        source.bad.some((bad) => bad.start < shot.sittingEnd && bad.end > before.sittingEnd - 1),
    );
    const kind = other?.bad.find(
      (bad) => bad.start < shot.sittingEnd && bad.end > before.sittingEnd - 1,
    )?.kind;
    const reason = other ? `camera ${other.camera} is ${kind} there` : "no other camera has a picture there";
    const percent = Math.round(Math.abs(shot.scale / before.scale - 1) * 100);
    return [
      {
        code: "story.join-by-size",
        weight: "warn",
        says: `The join at ${minutesSeconds(stretches[shot.stretch]!.start)} stays on ${camera}, because ${reason}; the picture changes size by ${percent} % to ease the jump.`,
        remedy: "Lay a cutaway over it, or leave the pause in.",
        evidence: { where: camera, from: before.sittingEnd, to: shot.sittingStart, figure: `${percent} %` },
      },
    ];
  });
}

function badShown({ shots, sources }: Parameters<typeof storyFindings>[0]): Finding[] {
  return shots.flatMap((shot): Finding[] => {
    const worst = [...shot.bad].sort((a, b) => b.severity - a.severity)[0];
    if (!worst) return [];
    const from = Math.max(shot.sittingStart, worst.start);
    const to = Math.min(shot.sittingEnd, worst.end);
    const { camera } = sources[shot.source]!;
    if (shot.said)
      return [
        {
          code: "story.said-bad-picture",
          weight: "warn",
          says: `You chose camera ${camera} at ${minutesSeconds(from)}, where it is ${worst.kind} for ${(to - from).toFixed(1)} s.`,
          remedy: "Look at it there; take the choice back if it shows.",
          evidence: { where: camera, from, to, figure: `severity ${worst.severity.toFixed(2)}` },
        },
      ];
    return [
      {
        code: "story.no-good-picture",
        weight: "warn",
        says: `From ${minutesSeconds(from)} for ${(to - from).toFixed(1)} s no camera has a good picture; the cut shows ${camera}, which is ${worst.kind}.`,
        remedy: "Lay a cutaway over it.",
        evidence: { where: camera, from, to, figure: `severity ${worst.severity.toFixed(2)}` },
      },
    ];
  });
}

function falseStarts({ falseStarts: found, phrases }: StoryMaterial): Finding[] {
  return found.map(({ phrase, likeness, confidence }): Finding => {
    const { start, end } = phrases[phrase]!;
    return {
      code: "story.false-start",
      weight: confidence < 0.5 ? "warn" : "note",
      says: `At ${minutesSeconds(start)} the sitter breaks off after ${(end - start).toFixed(1)} s and begins again; the first try is left out${confidence < 0.5 ? ", but this is not certain" : ""}.`,
      remedy: "Listen to it; if the words differ, put the stretch back.",
      evidence: {
        from: start,
        to: end,
        figure: `openings ${Math.round(likeness * 100)} % nearer than usual${confidence >= 0.995 ? "" : `, ${Math.round(confidence * 100)} % sure`}`,
      },
    };
  });
}

function talkers({ twoTalkers, separationDb, phrases }: StoryMaterial, decisions: StoryDecisions): Finding[] {
  if (phrases.length === 0) return [];
  if (!twoTalkers)
    return [
      {
        code: "story.one-talker",
        weight: "note",
        says: "Only one voice can be told apart by level, so everything that is said counts as the sitter's.",
        remedy:
          "If the questions are in the cut, give the interviewer's microphone its role in Voice, or mark the questions.",
      },
    ];
  const questions = phrases.filter(({ who, start, end }) => who === "interviewer" && end - start >= 0.8);
  return [
    {
      code: "story.two-talkers",
      weight: "note",
      says: `${openSentence(countOf(questions.length, "question"))} ${questions.length === 1 ? "was" : "were"} known by the softer voice, and ${decisions.keepQuestions ? "kept" : "left out"}.`,
      remedy: decisions.keepQuestions
        ? "Nothing to do; Story can leave them out, in the page."
        : "Nothing to do; Story can keep them, in the page.",
      evidence: { figure: `${separationDb.toFixed(0)} dB between the two voices` },
    },
  ];
}
