import type { StoryMaterialDocument, StoryResult } from "#documents/chapter-results";
import type { PlacedSource } from "./picture-sources.ts";
import type { CutSource, StoryMaterial } from "./story-material.ts";

/*
 * What was listened to as a small document: phrases are kept to a tenth of a millisecond, and of the level only what
 * lies about the phrases' edges, where cuts are looked for, in whole decibels. The cut is always chosen from the
 * document's own figures, so that a page that chooses again gets exactly the same.
 */

/** How far from a phrase's edge a cut may be looked for, and a little more; seconds. See `choose-kept`. */
const reach = { intoPhrase: 0.1, afterEnd: 0.5, beforeStart: 0.3 };
/** Levels are one printable character a step: whole decibels from 0 down to −90; quotation mark and backslash are not used. */
const levels = Array.from({ length: 92 }, (_, i) => String.fromCharCode(35 + i)).filter((c) => c !== "\\");
const deepest = -(levels.length - 1);
const levelOf = new Map(levels.map((character, i) => [character, -i]));

const rounded = (seconds: number, digits = 4): number => Number(seconds.toFixed(digits));

/** Everything that listening found, save the phrases, which a result carries as `speech`. */
export type HeardDocument = Omit<StoryMaterialDocument, "sources" | "wideCamera"> &
  Pick<StoryResult, "speech">;

/** What was heard, as JSON. */
export function heardDocument(material: StoryMaterial): HeardDocument {
  const { level, from } = material;
  const step = level.stepSeconds;
  const near: { first: number; end: number }[] = [];
  const add = (start: number, end: number): void => {
    const first = Math.max(0, Math.floor((start - from) / step));
    const stop = Math.min(level.db.length, Math.ceil((end - from) / step));
    const last = near.at(-1);
    if (last && first <= last.end) {
      last.first = Math.min(last.first, first);
      last.end = Math.max(last.end, stop);
    } else if (stop > first) near.push({ first, end: stop });
  };
  for (const { start, end } of material.phrases) {
    add(start - reach.beforeStart, start + reach.intoPhrase);
    add(end - reach.intoPhrase, end + reach.afterEnd);
  }
  return {
    from: rounded(from, 6),
    to: rounded(material.to, 6),
    speech: material.phrases.map(({ start, end, who }) => ({
      start: rounded(start),
      end: rounded(end),
      who,
    })),
    falseStarts: material.falseStarts.map(({ phrase, likeness, confidence }) => ({
      phrase,
      likeness: rounded(likeness),
      confidence: rounded(confidence),
    })),
    claps: material.claps.map((at) => rounded(at)),
    twoTalkers: material.twoTalkers,
    separationDb: rounded(material.separationDb, 2),
    level: {
      stepSeconds: step,
      runs: near.map(({ first, end }) => ({
        step: first,
        db: Array.from(level.db.subarray(first, end), (db) => levels[depthOf(db)]!).join(""),
      })),
    },
  };
}

const depthOf = (db: number): number => Math.min(levels.length - 1, Math.max(0, Math.round(-db) || 0));

/** The inverse of {@link heardDocument}; the level is NaN where it was not kept. */
export function heardMaterial(heard: HeardDocument): StoryMaterial {
  const { speech, level, ...rest } = heard;
  const db = new Float32Array(Math.max(0, Math.round((heard.to - heard.from) / level.stepSeconds))).fill(
    Number.NaN,
  );
  for (const run of level.runs)
    for (let i = 0; i < run.db.length && run.step + i < db.length; i++)
      db[run.step + i] = levelOf.get(run.db[i]!) ?? deepest;
  return { ...rest, phrases: speech, level: { stepSeconds: level.stepSeconds, db } };
}

/** A source of pictures without its recording's details. */
export const sourceDocument = ({
  recording,
  camera,
  from,
  to,
  bad,
  placement,
}: PlacedSource): StoryMaterialDocument["sources"][number] => ({
  hash: recording.hash,
  path: recording.path,
  camera,
  from,
  to,
  bad: bad.map((range) => ({ ...range })),
  placement: {
    offset: placement.offset,
    ratePpm: placement.ratePpm,
    ...(placement.pieces ? { pieces: placement.pieces.map((piece) => ({ ...piece })) } : {}),
  },
});

/** Sources of a document as the solver takes them. */
export const sourcesOf = ({ sources }: Pick<StoryMaterialDocument, "sources">): CutSource[] =>
  sources.map(({ placement: { pieces, ...line }, ...source }) => ({
    ...source,
    placement: { ...line, ...(pieces ? { pieces } : {}) },
  }));
