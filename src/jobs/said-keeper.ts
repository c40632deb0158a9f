import { createHash } from "node:crypto";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { z } from "zod";
import { applyChange, changesConflict, saidOf, withSaid } from "#documents/apply-change";
import { describeChange } from "#documents/describe-change";
import type { SaidState } from "#documents/page";
import { type Change, changeSchema, type Said, voiceSaidSchema } from "#documents/said";
import { type Sitting, sittingSchema } from "#documents/sitting";
import { writeWhole } from "#outside/disk/write-whole";
import { readSitting, writeSitting } from "./sitting-store.ts";

/*
 * sitting.json holds what is said now; said-history.json beside it what was said before the first change and every
 * change since, so that each can be taken back. The history is written first: were the machine to stop between the
 * two, its last change is one that the sitting never had, and is dropped.
 */

const historyFile = "said-history.json";

const saidSchema = sittingSchema.pick({ title: true }).extend({
  story: sittingSchema.shape.story.unwrap(),
  charts: sittingSchema.shape.charts.unwrap(),
  // Not there in a history of before they could be said.
  sources: voiceSaidSchema.shape.sources.default([]),
  pictures: sittingSchema.shape.pictures.unwrap().default([]),
  marks: sittingSchema.shape.marks.unwrap().default([]),
  transcripts: sittingSchema.shape.transcripts.unwrap().default([]),
  microphoneDistances: z.record(z.string(), z.number()).default({}),
  keepQuestions: z.boolean(),
  longestPause: z.number(),
  loudnessTarget: z.number(),
  plan: sittingSchema.shape.plan,
  roomPictures: sittingSchema.shape.roomPictures,
});
const historySchema = z.looseObject({
  kind: z.literal("gemel.said-history"),
  version: z.literal(1),
  before: saidSchema,
  done: z.array(changeSchema),
  undone: z.array(changeSchema),
});

interface History {
  /** What was said before the first of `done`. */
  readonly before: Said;
  readonly done: readonly Change[];
  /** What was taken back, the next to do again last. */
  readonly undone: readonly Change[];
}

/** What became of a change. */
export type SaidOutcome =
  | { readonly done: true; readonly state: SaidState; readonly changed: boolean }
  | { readonly done: false; readonly code: "SAID_CONFLICT" | "SAID_NOTHING_LEFT"; readonly says: string };

/** What a person says of one sitting: changed, taken back and kept on the disk at once. One change at a time. */
export interface SaidKeeper {
  sitting(): Sitting;
  state(): SaidState;
  /**
   * Makes a change that was decided on while `revision` was shown. A change made meanwhile by somebody else is no
   * hindrance where it speaks of something else.
   *
   * @throws ExplainedError of the document and the disk; nothing is changed then.
   */
  say(revision: string, change: Change): Promise<SaidOutcome>;
  undo(revision: string): Promise<SaidOutcome>;
  redo(revision: string): Promise<SaidOutcome>;
  /**
   * Changes of the sitting what is no part of what is said: its cards. No undo takes it back.
   *
   * @throws ExplainedError of the document and the disk; nothing is changed then.
   */
  amend(change: (sitting: Sitting) => Sitting): Promise<void>;
}

/** Names a content of what is said. */
const revisionOf = (said: Said): string =>
  createHash("sha256")
    .update(JSON.stringify(ordered(said)))
    .digest("hex")
    .slice(0, 16);

/** The same with keys in order, so that a document that was written by other hands names the same revision. */
function ordered(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(ordered);
  if (typeof value !== "object" || value === null) return value;
  const known = value as Record<string, unknown>;
  return Object.fromEntries(
    Object.keys(known)
      .sort()
      .map((name) => [name, ordered(known[name])]),
  );
}

const replay = (before: Said, changes: readonly Change[]): Said => changes.reduce(applyChange, before);

/** @throws ExplainedError of the document. */
export async function openSaid(folder: string): Promise<SaidKeeper> {
  let sitting = await readSitting(folder);
  let history = await readHistory(folder, saidOf(sitting));
  let revision = revisionOf(saidOf(sitting));
  /** Every step of this server's life, with the revision that it was made on: what an old page does not know of. */
  let steps: { readonly on: string; readonly change: Change }[] = [];
  let turn: Promise<unknown> = Promise.resolve();

  const state = (): SaidState => ({
    revision,
    said: saidOf(sitting),
    undo: history.done.length > 0 ? describeChange(history.done.at(-1)!) : null,
    redo: history.undone.length > 0 ? describeChange(history.undone.at(-1)!) : null,
  });

  /** Another program may have written the sitting meanwhile: what it says now counts, and the way back ends there. */
  const lookAgain = async (): Promise<void> => {
    sitting = await readSitting(folder);
    const found = saidOf(sitting);
    if (revisionOf(found) === revision) return;
    revision = revisionOf(found);
    history = { before: found, done: [], undone: [] };
    steps = [];
  };

  const keep = async (next: History, change: Change): Promise<SaidOutcome> => {
    const said = replay(next.before, next.done);
    const changed = withSaid(sitting, said);
    await writeHistory(folder, next);
    await writeSitting(folder, changed);
    steps.push({ on: revision, change });
    sitting = changed;
    history = next;
    const before = revision;
    revision = revisionOf(said);
    return { done: true, state: state(), changed: revision !== before };
  };

  const inTurn = <T>(work: () => Promise<T>): Promise<T> => {
    const mine = turn.then(async () => {
      await lookAgain();
      return await work();
    });
    turn = mine.catch(() => {});
    return mine;
  };

  const conflict = (says: string): SaidOutcome => ({ done: false, code: "SAID_CONFLICT", says });
  const nothingLeft = (what: string): SaidOutcome => ({
    done: false,
    code: "SAID_NOTHING_LEFT",
    says: `There is nothing left to ${what}.`,
  });
  const isOld =
    "The sitting was changed in another place meanwhile; look at it as it is now, then decide again.";

  return {
    sitting: () => sitting,
    state,
    say: (on, change) =>
      inTurn(async () => {
        if (on !== revision) {
          const since = steps.findLastIndex((step) => step.on === on);
          if (since < 0) return conflict(isOld);
          const against = steps.slice(since).find((step) => changesConflict(step.change, change));
          if (against)
            return conflict(
              `In another place ${describeChange(against.change)} was decided meanwhile, so ${describeChange(change)} was not done.`,
            );
        }
        const said = saidOf(sitting);
        if (revisionOf(applyChange(said, change)) === revision)
          return { done: true, state: state(), changed: false };
        return await keep({ ...history, done: [...history.done, change], undone: [] }, change);
      }),
    amend: (change) =>
      inTurn(async () => {
        const changed = change(sitting);
        await writeSitting(folder, changed);
        sitting = changed;
      }),
    undo: (on) =>
      inTurn(async () => {
        if (on !== revision) return conflict(isOld);
        const last = history.done.at(-1);
        if (!last) return nothingLeft("undo");
        return await keep(
          { ...history, done: history.done.slice(0, -1), undone: [...history.undone, last] },
          last,
        );
      }),
    redo: (on) =>
      inTurn(async () => {
        if (on !== revision) return conflict(isOld);
        const next = history.undone.at(-1);
        if (!next) return nothingLeft("redo");
        return await keep(
          { ...history, done: [...history.done, next], undone: history.undone.slice(0, -1) },
          next,
        );
      }),
  };
}

/** The kept history where it leads to what is said now; a fresh one where it does not. Losing it loses no decision. */
async function readHistory(folder: string, said: Said): Promise<History> {
  const fresh: History = { before: said, done: [], undone: [] };
  try {
    const text = await readFile(join(folder, historyFile), "utf8");
    const { before, done, undone } = historySchema.parse(JSON.parse(text));
    const now = revisionOf(said);
    if (revisionOf(replay(before, done)) === now) return { before, done, undone };
    const one = done.slice(0, -1);
    return done.length > 0 && revisionOf(replay(before, one)) === now
      ? { before, done: one, undone: [] }
      : fresh;
  } catch {
    return fresh;
  }
}

async function writeHistory(folder: string, { before, done, undone }: History): Promise<void> {
  const document = { kind: "gemel.said-history", version: 1, before, done, undone };
  await writeWhole(join(folder, historyFile), `${JSON.stringify(document)}\n`);
}
