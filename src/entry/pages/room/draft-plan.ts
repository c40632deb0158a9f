import type { Plan } from "#documents/plan";
import type { PlanEdit } from "#room/plan-edits";
import { useSaid } from "../data/held-sitting.ts";
import { say } from "../data/say.ts";

/*
 * The plan while it is being moved about: what is dragged shows at once and is said when it is let go, so that a drag is
 * one change and is taken back as one. Who must follow each step listens here; nothing is rendered anew by a step.
 */

interface Draft {
  /** The said plan that the draft was begun on. */
  readonly on: Plan;
  readonly edit: PlanEdit;
}

let draft: Draft | null = null;
const listeners = new Set<() => void>();
const tellAll = (): void => {
  for (const tell of listeners) tell();
};

/** Calls on every step of a drag, and when it ends. Answers how to stop it. */
export function onDraft(tell: () => void): () => void {
  listeners.add(tell);
  return () => listeners.delete(tell);
}

/** What is being tried on a said plan: the parts that differ; null where nothing is. */
export const triedOn = (said: Plan): Partial<Plan> | null =>
  draft !== null && draft.on === said ? draft.edit.plan : null;

/** Shows an edit without saying it yet. */
export function tryEdit(on: Plan, edit: PlanEdit | null): void {
  draft = edit && { on, edit };
  tellAll();
}

function sayAndEnd(edit: PlanEdit | null): void {
  const wasTrying = draft !== null;
  draft = null;
  if (edit) say({ kind: "plan", what: edit.what, plan: edit.plan });
  if (wasTrying) tellAll();
}

/** Says what is being tried. */
export const sayDraft = (): void => sayAndEnd(draft?.edit ?? null);

/** Says an edit at once. */
export const sayEdit = (edit: PlanEdit | null): void => sayAndEnd(edit);

/** The plan as it was last said, without what is being dragged; null where there is none. */
export const useSaidPlan = (): Plan | null => useSaid()?.plan ?? null;
